//! What a wiring gives, every limit as a named rule, and the audit that derives both again.

mod audit;
mod build;
mod current;
mod evaluate;
mod fault;
mod idle;
mod parts;
mod properties;
mod said;
mod voltage;
mod window;
