//! What several checks share: facts that are missing, sizes and contacts, words.

pub(super) mod contacts;
pub(super) mod facts;
pub mod words;
