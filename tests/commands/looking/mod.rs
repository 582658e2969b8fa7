//! What is answered: screens, figures, papers and pages.

mod due_tax;
mod invoice;
mod looking_ahead;
mod morning;
mod page;
mod page_figures;
mod planning;
mod rates;
mod saved;
mod stock_book;
mod tax_year;
mod told_figures;
mod vat;
mod year_end;
