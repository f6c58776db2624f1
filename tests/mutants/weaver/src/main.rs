//! Weaves mutants into Rust sources, each behind a switch that is thrown at run time.
//!
//! `weaver TREE LIST FORBIDDEN FILE…` rewrites the files below TREE in place, writes what each mutant
//! is to LIST (tab-separated: number, file, line, sort, before, after), and leaves out those whose
//! file, line, sort and text stand in FORBIDDEN since they do not compile. Every run numbers alike.
//!
//! One build holds them all (mutant schemata: Untch, Offutt, Harrold, ISSTA 1993,
//! doi:10.1145/154183.154265), where a build for each would take hours.

mod replace;

use std::collections::BTreeSet;
use std::{env, fs};

use proc_macro2::{Span, TokenStream};
use quote::{ToTokens, quote};
use syn::spanned::Spanned;
use syn::visit_mut::{self, VisitMut};
use syn::{BinOp, Block, Expr, Item, Lit, ReturnType, UnOp, parse_quote};

/// One mutant.
struct Mutant {
    file: String,
    line: usize,
    sort: &'static str,
    before: String,
    after: String,
}

impl Mutant {
    /// By what it is known again when its file changes elsewhere.
    fn text(&self) -> String {
        let Self { file, line, sort, before, after } = self;
        [file, &line.to_string(), *sort, before, after].join("\t")
    }
}

struct Weaver {
    file: String,
    /// Names of this file's constants of type f64.
    constants: BTreeSet<String>,
    forbidden: BTreeSet<String>,
    mutants: Vec<Mutant>,
}

impl Weaver {
    /// The number of a new mutant; `None` where it does not compile. Counts it all the same.
    fn enter(&mut self, span: Span, sort: &'static str, before: &str, after: &str) -> Option<u32> {
        let line = span.start().line;
        let (file, shorten) = (self.file.clone(), |text: &str| text.replace(['\n', '\t'], " "));
        let (before, after) = (shorten(before), shorten(after));
        let mutant = Mutant { file, line, sort, before, after };
        let allowed = !self.forbidden.contains(&mutant.text());
        self.mutants.push(mutant);
        allowed.then_some(self.mutants.len() as u32)
    }

    /// The expression, or another one while the mutant is switched on.
    fn switch(
        &mut self,
        expr: &Expr,
        sort: &'static str,
        after: impl ToTokens,
    ) -> Option<TokenStream> {
        let text = |tokens: &dyn Fn() -> TokenStream| tokens().to_string();
        let (before, changed) = (text(&|| quote!(#expr)), text(&|| quote!(#after)));
        let id = self.enter(expr.span(), sort, &before, &changed)?;
        // A `match` in front would end the statement.
        let expr = match expr {
            Expr::Binary(binary) => {
                let (left, op, right) = (aside(&binary.left), &binary.op, aside(&binary.right));
                quote!(#left #op #right)
            }
            expr => quote!(#expr),
        };
        Some(quote!(if crate::mutant::on(#id) { #after } else { #expr }))
    }
}

/// Does an expression bind anything by `let`? Then its parts must stay where they are.
fn binds(expr: &Expr) -> bool {
    match expr {
        Expr::Let(_) => true,
        Expr::Binary(binary) => binds(&binary.left) || binds(&binary.right),
        Expr::Paren(inner) => binds(&inner.expr),
        _ => false,
    }
}

/// An operand that stays one beside any operator.
fn aside(operand: &Expr) -> TokenStream {
    match operand {
        Expr::Binary(_) | Expr::Cast(_) | Expr::Match(_) | Expr::If(_) | Expr::Block(_) => {
            quote!((#operand))
        }
        _ => quote!(#operand),
    }
}

/// Operators that may stand in place of one, each with the sort of mutant it makes.
fn others(op: &BinOp) -> Vec<(&'static str, TokenStream)> {
    let (compare, edge, sum, logic) = ("comparison", "edge", "arithmetic", "logic");
    match op {
        BinOp::Lt(_) => vec![(compare, quote!(>=)), (edge, quote!(<=))],
        BinOp::Le(_) => vec![(compare, quote!(>)), (edge, quote!(<))],
        BinOp::Gt(_) => vec![(compare, quote!(<=)), (edge, quote!(>=))],
        BinOp::Ge(_) => vec![(compare, quote!(<)), (edge, quote!(>))],
        BinOp::Eq(_) => vec![(compare, quote!(!=))],
        BinOp::Ne(_) => vec![(compare, quote!(==))],
        BinOp::Add(_) => vec![(sum, quote!(-))],
        BinOp::Sub(_) => vec![(sum, quote!(+))],
        BinOp::Mul(_) => vec![(sum, quote!(/))],
        BinOp::Div(_) => vec![(sum, quote!(*))],
        BinOp::AddAssign(_) => vec![(sum, quote!(-=))],
        BinOp::SubAssign(_) => vec![(sum, quote!(+=))],
        BinOp::MulAssign(_) => vec![(sum, quote!(/=))],
        BinOp::DivAssign(_) => vec![(sum, quote!(*=))],
        BinOp::And(_) => vec![(logic, quote!(||))],
        BinOp::Or(_) => vec![(logic, quote!(&&))],
        _ => Vec::new(),
    }
}

impl VisitMut for Weaver {
    fn visit_expr_mut(&mut self, expr: &mut Expr) {
        // First the whole, then its parts: the numbers follow the text.
        let whole = expr.clone();
        let mut changed: Option<TokenStream> = None;
        if !binds(&whole) {
            match &whole {
                Expr::Binary(binary) => {
                    let (left, right) = (aside(&binary.left), aside(&binary.right));
                    for (sort, op) in others(&binary.op) {
                        let after = quote!(#left #op #right);
                        let Some(woven) = self.switch(&whole, sort, after) else { continue };
                        changed = Some(match changed {
                            None => woven,
                            // Two in one place: the second where the first is off.
                            Some(first) => {
                                let id = self.mutants.len() as u32;
                                let after = quote!(#left #op #right);
                                quote!(if crate::mutant::on(#id) { #after } else { #first })
                            }
                        });
                    }
                }
                Expr::Unary(unary) if !matches!(unary.op, UnOp::Deref(_)) => {
                    let inner = &unary.expr;
                    changed = self.switch(&whole, "negation", quote!(#inner));
                }
                Expr::Path(path)
                    if path
                        .path
                        .get_ident()
                        .is_some_and(|name| self.constants.contains(&name.to_string())) =>
                {
                    let id =
                        self.enter(whole.span(), "constant", &quote!(#path).to_string(), "× 1.1");
                    changed = id.map(|id| quote!(crate::mutant::scaled(#id, #path)));
                }
                Expr::Lit(lit) if matches!(&lit.lit, Lit::Float(x) if worth_scaling(x)) => {
                    let id =
                        self.enter(whole.span(), "constant", &quote!(#lit).to_string(), "× 1.1");
                    changed = id.map(|id| quote!(crate::mutant::scaled(#id, #lit)));
                }
                _ => {}
            }
        }
        match changed {
            Some(tokens) => {
                let woven = syn::parse2(quote!((#tokens)));
                let mut woven: Expr =
                    woven.unwrap_or_else(|error| panic!("{error} in {}: {tokens}", self.file));
                weave_branches(self, &mut woven);
                *expr = woven;
            }
            None => visit_mut::visit_expr_mut(self, expr),
        }
    }

    fn visit_item_fn_mut(&mut self, item: &mut syn::ItemFn) {
        if item.sig.constness.is_none() && !is_test(&item.attrs) {
            visit_mut::visit_item_fn_mut(self, item);
            self.replace_body(&item.sig, &mut item.block);
        }
    }

    fn visit_impl_item_fn_mut(&mut self, item: &mut syn::ImplItemFn) {
        if item.sig.constness.is_none() {
            visit_mut::visit_impl_item_fn_mut(self, item);
            self.replace_body(&item.sig, &mut item.block);
        }
    }

    fn visit_item_mod_mut(&mut self, item: &mut syn::ItemMod) {
        if !is_test(&item.attrs) {
            visit_mut::visit_item_mod_mut(self, item);
        }
    }

    // What is worked out before the program runs cannot be switched.
    fn visit_item_const_mut(&mut self, _: &mut syn::ItemConst) {}
    fn visit_item_static_mut(&mut self, _: &mut syn::ItemStatic) {}
    fn visit_impl_item_const_mut(&mut self, _: &mut syn::ImplItemConst) {}
    fn visit_type_mut(&mut self, _: &mut syn::Type) {}
    fn visit_pat_mut(&mut self, _: &mut syn::Pat) {}
    fn visit_attribute_mut(&mut self, _: &mut syn::Attribute) {}
}

/// Weaves into the last `else` of a chain of switches: the expression as it was written. What is left
/// as it is in the other branches is reached only while their mutant is on.
fn weave_branches(weaver: &mut Weaver, expr: &mut Expr) {
    match expr {
        Expr::Paren(inner) => weave_branches(weaver, &mut inner.expr),
        Expr::If(switch) => match switch.else_branch.as_mut().map(|(_, e)| e.as_mut()) {
            Some(Expr::Block(block)) => {
                if let [syn::Stmt::Expr(last, None)] = &mut block.block.stmts[..] {
                    match last {
                        Expr::If(inner) if is_switch(inner) => weave_branches(weaver, last),
                        whole => visit_mut::visit_expr_mut(weaver, whole),
                    }
                }
            }
            Some(other) => weave_branches(weaver, other),
            None => {}
        },
        _ => {}
    }
}

fn is_switch(expr: &syn::ExprIf) -> bool {
    quote!(#expr).to_string().starts_with("if crate :: mutant :: on")
}

impl Weaver {
    /// A function that returns something plain at once.
    fn replace_body(&mut self, sig: &syn::Signature, block: &mut Block) {
        let ReturnType::Type(_, of) = &sig.output else { return };
        for value in replace::values(of) {
            let text = value.to_string();
            let name = sig.ident.to_string();
            if let Some(id) = self.enter(sig.ident.span(), "body", &name, &text) {
                block.stmts.insert(0, parse_quote!(if crate::mutant::on(#id) { return #value; }));
            }
        }
    }
}

/// Tiny figures are there for rounding alone, and nought stays nought.
fn worth_scaling(x: &syn::LitFloat) -> bool {
    x.base10_parse::<f64>().is_ok_and(|x| x >= 0.01)
}

fn is_test(attrs: &[syn::Attribute]) -> bool {
    attrs.iter().any(|a| quote!(#a).to_string().contains("test"))
}

fn constants(file: &syn::File) -> BTreeSet<String> {
    let constant = |item: &Item| match item {
        Item::Const(item) if item.ty.to_token_stream().to_string() == "f64" => {
            Some(item.ident.to_string())
        }
        _ => None,
    };
    file.items.iter().filter_map(constant).collect()
}

/// The switch, as a module of the woven package.
const SWITCH: &str = "//! Which mutant is on.
use std::sync::LazyLock;
static ON: LazyLock<u32> =
    LazyLock::new(|| std::env::var(\"MUTANT\").ok().and_then(|id| id.parse().ok()).unwrap_or(0));
#[inline]
pub fn on(id: u32) -> bool {
    *ON == id
}
#[inline]
pub fn scaled(id: u32, x: f64) -> f64 {
    if on(id) { 1.1 * x } else { x }
}
";

fn main() {
    let mut args = env::args().skip(1);
    let mut next = || args.next().expect("weaver TREE LIST FORBIDDEN FILE…");
    let (tree, list, forbidden) = (next(), next(), next());
    let forbidden = fs::read_to_string(forbidden).unwrap_or_default();
    let mut weaver = Weaver {
        file: String::new(),
        constants: BTreeSet::new(),
        forbidden: forbidden.lines().map(str::to_owned).collect(),
        mutants: Vec::new(),
    };
    for file in args {
        let path = format!("{tree}/{file}");
        let text = fs::read_to_string(&path).expect("the file is there");
        let mut parsed = syn::parse_file(&text).expect("is Rust");
        weaver.constants = constants(&parsed);
        weaver.file = file;
        weaver.visit_file_mut(&mut parsed);
        fs::write(&path, prettyplease::unparse(&parsed)).expect("writable");
    }
    let lib = format!("{tree}/src/lib.rs");
    let text = fs::read_to_string(&lib).expect("a library");
    fs::write(&lib, format!("{text}\n#[doc(hidden)]\npub mod mutant;\n")).expect("writable");
    fs::write(format!("{tree}/src/mutant.rs"), SWITCH).expect("writable");
    let lines =
        weaver.mutants.iter().enumerate().map(|(k, m)| format!("{}\t{}\n", k + 1, m.text()));
    fs::write(list, lines.collect::<String>()).expect("writable");
}
