//! A year of sun: weather files, monthly means, the table of power, and what must hold for all of them.

#[path = "../support/panels.rs"]
#[allow(dead_code)]
mod panels;
mod properties;
mod reference;
mod site;
mod table;
mod textbook;
