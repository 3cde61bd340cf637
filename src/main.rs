//! The `washfast` command: the only part that reads files and writes to the terminal.

use clap::{Parser, Subcommand, ValueEnum};
use miette::Report;
use std::io::{self, BufRead, BufReader, BufWriter, IsTerminal, Write};
use std::path::{Path, PathBuf};
use std::process::ExitCode;
use washfast::Knowledge;
use washfast::diagnostic::Problems;
use washfast::knowledge::Reply;
use washfast::render;
use washfast::source::SourceFile;

/// Decides whether a screen-printing ink will hold on a fabric.
#[derive(Parser)]
#[command(version, about)]
struct Arguments {
    /// Knowledge to use instead of what is built in
    #[arg(long, global = true, value_name = "FOLDER")]
    knowledge: Option<PathBuf>,
    #[command(subcommand)]
    command: Option<Command>,
}

#[derive(Subcommand)]
enum Command {
    /// Answer one question
    Ask {
        /// The question, such as "can plastisol go on black polyester?"
        #[arg(required = true, num_args = 1..)]
        question: Vec<String>,
        /// How to write the answer
        #[arg(long, value_enum, default_value_t = Format::Text)]
        format: Format,
    },
    /// Answer a whole order book in JSON Lines: one reply a line
    Orders {
        /// The file, or `-` for standard input
        file: PathBuf,
    },
    /// Check the knowledge and say everything that is wrong with it
    Check,
    /// Run the knowledge's own worked cases
    Cases {
        /// Only cases whose id holds this text
        filter: Option<String>,
    },
}

#[derive(Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Format {
    Text,
    Json,
    Markdown,
    /// The certificate of the verdict, once the independent checker has accepted it
    Proof,
}

/// Done; done, and something was found; could not be done.
const FOUND: u8 = 1;
const FAILED: u8 = 2;

fn main() -> ExitCode {
    let arguments = Arguments::parse();
    match run(&arguments) {
        Ok(code) => ExitCode::from(code),
        Err(Failure::Problems(problems)) => {
            for problem in problems.list() {
                eprintln!("{:?}", Report::new(problem.clone()));
            }
            ExitCode::from(FAILED)
        }
        // Whoever reads our output has heard enough.
        Err(Failure::Io(e)) if e.kind() == io::ErrorKind::BrokenPipe => ExitCode::SUCCESS,
        Err(Failure::Io(e)) => {
            eprintln!("washfast: {e}");
            ExitCode::from(FAILED)
        }
    }
}

enum Failure {
    Problems(Problems),
    Io(io::Error),
}

impl From<io::Error> for Failure {
    fn from(e: io::Error) -> Self {
        Self::Io(e)
    }
}

impl From<Problems> for Failure {
    fn from(p: Problems) -> Self {
        Self::Problems(p)
    }
}

fn run(arguments: &Arguments) -> Result<u8, Failure> {
    let knowledge = match &arguments.knowledge {
        Some(folder) => Knowledge::from_files(files(folder)?)?,
        None => Knowledge::built_in()?,
    };
    let mut out = BufWriter::new(io::stdout().lock());
    let code = match &arguments.command {
        None => prompt(&knowledge)?,
        Some(Command::Ask { question, format: Format::Proof }) => {
            let proof = knowledge.prove(&knowledge.statements(&question.join(" "))?);
            writeln!(out, "{}", serde_json::to_string_pretty(&proof).map_err(io::Error::from)?)?;
            match washfast::checker::check(knowledge.model(), &proof) {
                Ok(()) => 0,
                Err(fault) => {
                    eprintln!("washfast: the certificate was not accepted: {} {}", fault.code, fault.at);
                    FAILED
                }
            }
        }
        Some(Command::Ask { question, format }) => {
            write_reply(&mut out, &knowledge.ask(&question.join(" "))?, *format)?;
            0
        }
        Some(Command::Orders { file }) => orders(&knowledge, file, &mut out)?,
        Some(Command::Check) => {
            let m = knowledge.model();
            writeln!(
                out,
                "{} entities, {} rules, {} cases, {} sources: nothing wrong (digest {})",
                m.entities.len(),
                m.rules.len(),
                m.cases.len(),
                m.sources.len(),
                m.digest
            )?;
            0
        }
        Some(Command::Cases { filter }) => cases(&knowledge, filter.as_deref(), &mut out)?,
    };
    out.flush()?;
    Ok(code)
}

/// The YAML files below a folder, named from the folder on.
fn files(folder: &Path) -> io::Result<Vec<SourceFile>> {
    fn walk(folder: &Path, top: &Path, list: &mut Vec<SourceFile>) -> io::Result<()> {
        let mut entries: Vec<PathBuf> =
            std::fs::read_dir(folder)?.map(|e| e.map(|e| e.path())).collect::<Result<_, _>>()?;
        entries.sort();
        for path in entries {
            if path.is_dir() {
                walk(&path, top, list)?;
            } else if path.extension().is_some_and(|e| e == "yaml") {
                let text = std::fs::read_to_string(&path)
                    .map_err(|e| io::Error::new(e.kind(), format!("{}: {e}", path.display())))?;
                let name = path.strip_prefix(top).unwrap_or(&path).display().to_string();
                list.push(SourceFile::new(&format!("knowledge/{name}"), &text));
            }
        }
        Ok(())
    }
    let mut list = Vec::new();
    walk(folder, folder, &mut list).map_err(|e| io::Error::new(e.kind(), format!("{}: {e}", folder.display())))?;
    Ok(list)
}

fn write_reply(out: &mut impl Write, reply: &Reply, format: Format) -> io::Result<()> {
    match (reply, format) {
        (Reply::Answer(a), Format::Text) => match width() {
            Some(width) => write!(out, "{}", render::text_at(a, width)),
            None => write!(out, "{}", render::text(a)),
        },
        (Reply::Answer(a), Format::Markdown) => write!(out, "{}", render::markdown(a)),
        (Reply::Answer(a), Format::Json | Format::Proof) => writeln!(out, "{}", serde_json::to_string(a)?),
        (Reply::Page(lines), Format::Json | Format::Proof) => {
            writeln!(out, "{}", serde_json::json!({"schema": 1, "page": lines}))
        }
        (Reply::Page(lines), _) => lines.iter().try_for_each(|l| writeln!(out, "{l}")),
    }
}

/// Wider lines are hard to read.
const WIDEST: usize = 100;

/// How wide lines may be, where that is known: what `COLUMNS` says, or else the terminal.
fn width() -> Option<usize> {
    let said = std::env::var("COLUMNS").ok().and_then(|c| c.parse().ok());
    let width = said.or_else(|| terminal_size::terminal_size().map(|(w, _)| usize::from(w.0)));
    width.map(|w| w.min(WIDEST))
}

/// Reads questions until the input ends.
fn prompt(knowledge: &Knowledge) -> Result<u8, Failure> {
    let mut out = io::stdout().lock();
    if !io::stdin().is_terminal() {
        let mut code = 0;
        for line in io::stdin().lock().lines() {
            if !answer_line(knowledge, &line?, &mut out)? {
                code = FAILED;
            }
        }
        return Ok(code);
    }
    writeln!(out, "Ask, for instance: can plastisol go on black polyester?   (ctrl-d ends)")?;
    let mut editor = rustyline::DefaultEditor::new().map_err(|e| io::Error::other(e.to_string()))?;
    loop {
        match editor.readline("washfast> ") {
            Ok(line) => {
                let _ = editor.add_history_entry(line.as_str());
                answer_line(knowledge, &line, &mut out)?;
            }
            Err(rustyline::error::ReadlineError::Interrupted) => {}
            Err(rustyline::error::ReadlineError::Eof) => return Ok(0),
            Err(e) => return Err(io::Error::other(e.to_string()).into()),
        }
    }
}

/// Answers one line; false where it was not understood.
fn answer_line(knowledge: &Knowledge, line: &str, out: &mut impl Write) -> io::Result<bool> {
    if line.trim().is_empty() {
        return Ok(true);
    }
    match knowledge.ask(line) {
        Ok(reply) => {
            write_reply(out, &reply, Format::Text)?;
            writeln!(out)?;
            Ok(true)
        }
        Err(problems) => {
            for problem in problems.list() {
                writeln!(out, "{:?}", Report::new(problem.clone()))?;
            }
            Ok(false)
        }
    }
}

fn orders(knowledge: &Knowledge, file: &Path, out: &mut impl Write) -> Result<u8, Failure> {
    let input: Box<dyn BufRead> = if file == Path::new("-") {
        Box::new(io::stdin().lock())
    } else {
        let opened =
            std::fs::File::open(file).map_err(|e| io::Error::new(e.kind(), format!("{}: {e}", file.display())))?;
        Box::new(BufReader::new(opened))
    };
    for (index, line) in input.split(b'\n').enumerate() {
        let line = line?;
        let text = String::from_utf8_lossy(&line);
        let reply = knowledge.decide_line(index + 1, text.trim_end_matches('\r'));
        writeln!(out, "{}", serde_json::to_string(&reply).map_err(io::Error::from)?)?;
    }
    Ok(0)
}

fn cases(knowledge: &Knowledge, filter: Option<&str>, out: &mut impl Write) -> Result<u8, Failure> {
    let mut results = knowledge.cases();
    results.retain(|r| filter.is_none_or(|f| r.id.contains(f)));
    let failed: Vec<_> = results.iter().filter(|r| !r.failures.is_empty()).collect();
    for case in &failed {
        writeln!(out, "{} ({})", case.id, case.place)?;
        for failure in &case.failures {
            writeln!(out, "  {failure}")?;
        }
    }
    writeln!(out, "{} passed, {} failed", results.len() - failed.len(), failed.len())?;
    Ok(if failed.is_empty() { 0 } else { FOUND })
}
