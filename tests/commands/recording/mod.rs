//! What is recorded as typed: money, deals, dates; what is refused, put right, undone, closed, forgotten.

mod amending;
mod asking;
mod closing;
mod dates;
mod deal_refusals;
mod deal_undo;
mod deals;
mod forget;
mod importing;
mod numbers;
mod receipts;
mod recording;
mod refusals;
mod roadworthy;
