//! What several checks share: facts that are missing, sizes and contacts, words.

pub(super) mod bus;
pub(super) mod contacts;
pub(super) mod facts;
pub(super) mod fuse_mend;
pub mod sensors;
pub(crate) mod settings;
pub(crate) mod track;
pub mod words;
