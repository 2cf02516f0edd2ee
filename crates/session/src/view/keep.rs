//! Answers about what is kept: whether a record is whole, and copies of it.

use schemars::JsonSchema;
use serde::Serialize;

use super::shared::Form;

/// A record that is whole: what `check` says.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct CheckAnswer {
    /// Form of this answer.
    pub schema: Form,
    /// The record's file.
    pub record: String,
    /// Facts in it.
    pub facts: usize,
    /// Sheets in it.
    pub sheets: usize,
    /// The time of the last fact; null where there is none.
    pub last: Option<String>,
    /// The digest of all that is in it, the one that an export ends with.
    pub digest: String,
    /// Why it can be read and not written; null where it can be written.
    pub read_only: Option<String>,
    /// The latest backup beside it; null where there is none.
    pub backup: Option<String>,
}

/// A backup made or restored: what `backup` and `restore` say.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct BackupAnswer {
    /// Form of this answer.
    pub schema: Form,
    /// The record's file.
    pub record: String,
    /// The backup.
    pub folder: String,
    /// Facts in the record.
    pub facts: u64,
    /// Files of kit and devices.
    pub files: usize,
}
