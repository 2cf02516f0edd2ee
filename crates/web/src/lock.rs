//! A lock that outlives a panic.

use std::sync::{Mutex, MutexGuard, PoisonError};

/// A lock; whoever panicked in it left nothing half done, since all writing is the record's.
pub fn lock<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}
