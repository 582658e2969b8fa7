//! Photos and PDFs of bills, kept while something is recorded.

use crate::error::Error;
use crate::store::Recording;
use std::path::PathBuf;

/// Keeps the receipts given while recording something, with that very entry.
pub fn keep_receipts(recording: &Recording<'_>, files: &[PathBuf]) -> Result<Option<String>, Error> {
    let names = files
        .iter()
        .map(|file| Ok(recording.keep_receipt(recording.entry(), file)?))
        .collect::<Result<Vec<_>, Error>>()?;
    Ok((!names.is_empty()).then(|| format!("kept {}", names.join(", "))))
}
