//! Food typed on the command line: where it is looked up, and the question on the terminal where it is ambiguous.

use std::fmt::Write as _;

use trayful::food::Pantry;
use trayful::spoken::{Ask, Context, Doubt, Lookup, Reader, Taken, Unclear};

use super::Session;
use super::failure::Failure;
use super::judged::typed_at;

impl Lookup for Session {
    type Error = Failure;

    fn foods(&self) -> Result<Pantry, Failure> {
        self.pantry(None)
    }
}

impl Ask for Session {
    /// Asks on a terminal; elsewhere the text stays unclear.
    fn asked(&self, unclear: &Unclear) -> Result<Vec<String>, Failure> {
        self.ask(unclear)?.ok_or_else(|| unclear.clone().into())
    }
}

impl Session {
    /// Reads one food that is typed.
    pub(super) fn read_one(&self, typed: &str, context: Context) -> Result<Taken, Failure> {
        Reader::new(self, context).sure(typed)
    }

    /// Reads every food that is typed.
    ///
    /// Errors: everything that is unclear, of all the foods together.
    pub(super) fn read_all(
        &self,
        typed: &[String],
        context: Context,
    ) -> Result<Vec<Taken>, Failure> {
        let mut reader = Reader::new(self, context);
        let (mut taken, mut unclear) = (Vec::new(), Vec::new());
        for text in typed {
            match reader.sure(text) {
                Ok(food) => taken.push(food),
                Err(Failure::Unclear(more)) => unclear.extend(more),
                Err(other) => return Err(other),
            }
        }
        if unclear.is_empty() {
            Ok(taken)
        } else {
            Err(Failure::Unclear(unclear))
        }
    }

    /// Asks on the terminal and returns the texts to read instead; `None` where the person types nothing, or where there is
    /// no terminal to ask on.
    fn ask(&self, unclear: &Unclear) -> Result<Option<Vec<String>>, Failure> {
        // Choosing one of several foods would drop the others.
        if unclear.apart().is_some() {
            return Ok(None);
        }
        let mut question = format!("{}\n", unclear.what());
        if !unclear.stopped.is_empty() {
            let _ = writeln!(question, "{}", unclear.stopped);
        }
        for (n, choice) in unclear.choices.iter().enumerate() {
            let _ = writeln!(question, "  {}  {} ({})", n + 1, choice.name, choice.id);
        }
        question += match unclear.doubt {
            _ if !unclear.choices.is_empty() => {
                "Which number? Or type it in other words; nothing to stop: "
            }
            Doubt::Method { .. } => "How is it cooked? Nothing to stop: ",
            Doubt::Amount { .. } | Doubt::Ounce(_) => "How much? Nothing to stop: ",
            _ => "Type it again; nothing to stop: ",
        };
        if matches!(
            unclear.doubt,
            Doubt::Method { .. } | Doubt::Amount { .. } | Doubt::Ounce(_)
        ) {
            question = format!("{}\n{}", unclear.hint(), question);
        }
        let line = match typed_at(&question) {
            Some(line) => line.map_err(Failure::Print)?,
            None => return Ok(None),
        };
        if line.is_empty() {
            return Ok(None);
        }
        let number = line.parse::<usize>().ok().and_then(|n| n.checked_sub(1));
        if let Some(choice) = number.and_then(|n| unclear.choices.get(n)) {
            if let Some(mut book) = self.book_for(None)?
                && matches!(unclear.doubt, Doubt::Food(_) | Doubt::NoFood(_))
            {
                book.remember(&unclear.words, &choice.id)?;
            }
            return Ok(Some(vec![choice.retyped.clone()]));
        }
        Ok(Some(unclear.answered(&line)))
    }
}
