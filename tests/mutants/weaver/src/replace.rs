//! Plain values that a function may return at once.

use proc_macro2::TokenStream;
use quote::{ToTokens, quote};
use syn::Type;

/// Values of a type by its name alone; none where the name does not tell.
pub(crate) fn values(of: &Type) -> Vec<TokenStream> {
    let name = of.to_token_stream().to_string().replace(' ', "");
    match name.as_str() {
        "bool" => vec![quote!(true), quote!(false)],
        "f64" => vec![quote!(0.0), quote!(1.0), quote!(-1.0)],
        "usize" => vec![quote!(0), quote!(1)],
        "String" => vec![quote!(String::new())],
        "Volts" => vec![quote!(Volts(0.0)), quote!(Volts(1.0))],
        "Amps" => vec![quote!(Amps(0.0)), quote!(Amps(1.0))],
        "Watts" => vec![quote!(Watts(0.0)), quote!(Watts(1.0))],
        "Audited" | "Result<(),AuditError>" => vec![quote!(Ok(()))],
        name if name.starts_with("Vec<") => vec![quote!(Vec::new())],
        name if name.starts_with("Option<") => vec![quote!(None)],
        _ => Vec::new(),
    }
}
