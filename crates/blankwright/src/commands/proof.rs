//! `proof`: the page that measures a printer.

use super::read_shop;
use super::trim::{find_printer, with_margin, with_printer};
use crate::args::ProofArgs;
use crate::{Failure, Outcome};
use host::Host;
use sheets::printing;

pub(super) fn run(args: &ProofArgs, host: &mut dyn Host) -> Result<Outcome, Failure> {
    super::protect_shop(&args.shop, &args.out, host)?;
    let shop = read_shop(&args.shop, host)?;
    let trim = args.trim.as_deref();
    let printer = trim.map(|name| find_printer(&shop, name)).transpose()?;
    let name = printer.map_or("Printer".to_owned(), |printer| format!("Printer {}", printer.name));
    let setup = printing::setup(&name, &args.paper, super::check_date(args.date.as_ref())?)?;
    let (setup, mind) = with_printer(with_margin(setup, args.margin.as_deref())?, &shop, trim)?;
    let page = printing::proof(&setup, printer)?;
    let file = super::write(&args.out, printing::proof_pdf(&setup, &page)?, host)?;
    let out = format!(
        "Wrote the proof to {}. Print it at actual size (100 %), measure its lines, and type the \
         readings in with the command it shows.\n",
        super::written_to(&args.out)
    );
    let err = mind.map_or_else(String::new, |mind| format!("blankwright: {mind}\n"));
    Ok(Outcome { out, err, file, ..Outcome::default() })
}
