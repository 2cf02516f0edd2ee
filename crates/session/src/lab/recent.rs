//! The last few things made, so that a question asked again, a little different, finds them ready.

use std::sync::{Arc, Mutex, PoisonError};

/// The last few, newest first.
#[derive(Debug)]
pub struct Recent<K, V> {
    most: usize,
    kept: Mutex<Vec<(K, Arc<V>)>>,
}

impl<K: PartialEq, V> Recent<K, V> {
    /// Keeps at most this many.
    pub fn new(most: usize) -> Self {
        Self { most, kept: Mutex::new(Vec::new()) }
    }

    /// The one of this key, made where it is not there. Two who ask at once may both make it; that costs time, nothing else.
    ///
    /// # Errors
    /// What making it fails with; then nothing is kept.
    pub fn get<E>(&self, key: K, make: impl FnOnce(&K) -> Result<V, E>) -> Result<Arc<V>, E> {
        if let Some(known) = self.known(&key) {
            return Ok(known);
        }
        let made = Arc::new(make(&key)?);
        let mut kept = self.kept.lock().unwrap_or_else(PoisonError::into_inner);
        kept.insert(0, (key, Arc::clone(&made)));
        kept.truncate(self.most);
        Ok(made)
    }

    fn known(&self, key: &K) -> Option<Arc<V>> {
        let mut kept = self.kept.lock().unwrap_or_else(PoisonError::into_inner);
        let at = kept.iter().position(|(known, _)| known == key)?;
        kept[..=at].rotate_right(1);
        kept.first().map(|(_, value)| Arc::clone(value))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn law_what_was_asked_for_last_stays() {
        let recent = Recent::new(2);
        let made = std::cell::Cell::new(0);
        let ask = |key: u32| {
            let make = |key: &u32| {
                made.set(made.get() + 1);
                if *key == 9 { Err("nine") } else { Ok(*key * 10) }
            };
            recent.get(key, make).map(|value| *value)
        };
        assert_eq!((ask(1), ask(2), ask(1)), (Ok(10), Ok(20), Ok(10)));
        assert_eq!(made.get(), 2, "the third was there");
        assert_eq!(ask(9), Err("nine"));
        assert_eq!((ask(3), ask(1)), (Ok(30), Ok(10)));
        assert_eq!(made.get(), 4, "a failure put nothing out, and 1 was newer than 2");
        assert_eq!(ask(2), Ok(20));
        assert_eq!(made.get(), 5, "2 was gone");
    }
}
