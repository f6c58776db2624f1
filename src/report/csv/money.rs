//! Rows of money: `value` is the least, `limit` the most.

use super::Rows;
use super::row::{Row, cell};
use crate::plan::{Money, Payback, Range};
use crate::report::figures::figure;
use crate::report::money::spare_line;

impl Rows<'_> {
    pub(super) fn money(&mut self, money: Option<&Money>) {
        let Some(money) = money else { return };
        if let Some(cost) = &money.cost {
            let panels = Range { least: cost.panels, most: cost.panels };
            self.amount("panels", Some(panels));
            let controllers = Range { least: cost.controllers, most: cost.controllers };
            self.amount("controllers", Some(controllers).filter(|c| c.most > 0.0));
            self.amount("parts", cost.parts);
            self.amount("all", Some(cost.all));
            self.amount("per_added_watt", cost.per_watt);
            self.amount("per_added_kwh", cost.per_kwh);
            match cost.payback {
                Payback::Unknown => {}
                Payback::Never => {
                    let row = Row { verdict: "never", ..self.row("money") };
                    self.rows.push(Row { name: cell("payback_years"), ..row });
                }
                Payback::Years(years) => self.amount("payback_years", Some(years)),
            }
        }
        for spare in &money.spares {
            let row = Row {
                name: cell(self.names.label(spare.kind)),
                verdict: if spare.sale.is_some() { "sell" } else { "" },
                offered: spare.sale.map(|s| s.count),
                value: spare.worth_each.and_then(|x| figure(x, 2)),
                limit: spare.price.and_then(|x| figure(x, 2)),
                text: cell(&spare_line(spare)),
                ..self.row("spare_money")
            };
            self.rows.push(row);
        }
    }

    fn amount(&mut self, name: &str, range: Option<Range>) {
        let Some(range) = range else { return };
        let row = Row {
            name: cell(name),
            value: figure(range.least, 4),
            limit: figure(range.most, 4),
            ..self.row("money")
        };
        self.rows.push(row);
    }
}
