//! The book on disk: one SQLite file. The only room that holds SQL. It stores and finds facts; it
//! decides nothing, prints nothing and never ends the process.

pub(crate) mod book;
pub(crate) mod book_error;
pub(crate) mod facts;
pub(crate) mod fault;
mod files;
pub(crate) mod keep;
pub(crate) mod schema;
mod values;

pub use crate::domain::book::closing::Value as Stored;
pub use book::{Book, Reader};
pub use book_error::BookError;
pub use facts::cars::{NewCar, NewVehicle, VehicleFound};
pub use facts::closed_months::RowChange;
pub use facts::completing::{CarLike, Place, open_to_complete};
pub use facts::deals::{NewDisposal, NewSale};
pub use facts::lines::{NewLine, NewMovement};
pub use facts::settings::HeadingRow;
pub use fault::Fault;
pub use fault::ReceiptFault;
pub use files::receipt_names::folder_of as receipts_folder;
pub use files::{FileError, Inside, MayGo, NewFile, Over, holds_only, may_write, new_folder, write};
pub use keep::backup::{BackupRow, dated_backup, dated_backups, lacking_beside, remove_backup};
pub use keep::entries::{EntryRow, Recording};
pub use keep::forget::{Mention, NamedFact};
pub use keep::history::{Change, StoredRow};
pub use keep::receipt_copies::{CopiedReceipts, Lacking, NamedReceipt, copy_receipts};
pub use keep::receipt_files::{Form, ReceiptError, check as check_receipt};
pub use keep::receipts::{KeepError, ReceiptRow};
pub use keep::restore::{Restored, restore};
pub use keep::undo::UndoError;
pub use keep::whole_book::{Filling, FillingError, TableShape};
pub use schema::new_book::NewBook;
pub use schema::opening::{look_for, open_blank, open_to_read, open_to_record};
pub use schema::soundness::naming_the_row;
