//! Amounts of money, read and printed.

use units::{print_money, read_money};

#[test]
fn amounts_are_read_exactly() {
    for (text, amount, currency) in [
        ("120", "120", None),
        ("120.5", "120.5", None),
        ("0.10", "0.10", None),
        (".5", "0.5", None),
        ("1234,50", "1234.50", None),
        ("1,234", "1234", None),
        ("1,234.50", "1234.50", None),
        ("1.234,50", "1234.50", None),
        ("1,234,567.89", "1234567.89", None),
        ("1.234.567", "1234567", None),
        ("1 234,50", "1234.50", None),
        ("1\u{202F}234\u{202F}567", "1234567", None),
        ("$120", "120", Some("$")),
        ("$ 1,234.50", "1234.50", Some("$")),
        ("-$3", "-3", Some("$")),
        ("$-3", "-3", Some("$")),
        ("−3.00 €", "-3.00", Some("€")),
        ("120 EUR", "120", Some("EUR")),
        ("CAD 120", "120", Some("CAD")),
    ] {
        let money = read_money(text).unwrap_or_else(|error| panic!("{text}: {error}"));
        assert_eq!(money.amount, amount.parse().unwrap(), "{text}");
        assert_eq!(money.currency.as_deref(), currency, "{text}");
    }
}

#[test]
fn amounts_that_are_not_clear_are_refused() {
    for (text, at) in [
        ("", ""),
        ("$", "$"),
        ("1.234", "1.234"),
        ("0,125", "0,125"),
        ("1,23,456", "1,23,456"),
        ("12,34.5", "12,34.5"),
        ("1.2.3", "1.2.3"),
        ("1,2 3", "1,2 3"),
        ("--3", "--3"),
        ("$3 EUR", "$3 EUR"),
        (" $1/2", "1/2"),
        ("1e5", "1e5"),
        (".", "."),
        (
            "9999999999999999999999999999999999",
            "9999999999999999999999999999999999",
        ),
    ] {
        match read_money(text) {
            Ok(money) => panic!("{text} is read as {money:?}"),
            Err(error) => assert_eq!(&text[error.at.clone()], at, "{text}: {error}"),
        }
    }
}

#[test]
fn amounts_are_printed_to_the_hundredth() {
    for (amount, currency, expected) in [
        ("1234.5", "$", "$1,234.50"),
        ("-3", "$", "−$3.00"),
        ("1234567.891", "€", "€1,234,567.89"),
        ("0.005", "$", "$0.01"),
        ("-0.004", "$", "$0.00"),
        ("999", "EUR", "999.00\u{202F}EUR"),
    ] {
        assert_eq!(print_money(amount.parse().unwrap(), currency), expected);
    }
}
