//! The `washfast` command: the only part that reads files and writes to the terminal.

use clap::{Parser, Subcommand, ValueEnum};
use miette::Report;
use std::io::{self, BufRead, BufReader, BufWriter, IsTerminal, Read, Write};
use std::path::{Path, PathBuf};
use std::process::ExitCode;
use washfast::Knowledge;
use washfast::diagnostic::Problems;
use washfast::knowledge::{CaseResult, InPart, Reply};
use washfast::render;
use washfast::session::{Said, Session};
use washfast::source::{BUILT_IN, SourceFile};
use washfast::tally::tally;

/// Decides whether a screen-printing ink will hold on a fabric.
#[derive(Parser)]
#[command(version, about)]
struct Arguments {
    /// Knowledge to use instead of what is built in
    #[arg(long, global = true, value_name = "FOLDER")]
    knowledge: Option<PathBuf>,
    /// A shop's own knowledge on top; may be given several times, the later on top
    #[arg(long, global = true, value_name = "FOLDER")]
    house: Vec<PathBuf>,
    /// Units in which answers are told where the question names none
    #[arg(long, global = true, value_enum, default_value_t = UnitSystem::Metric)]
    units: UnitSystem,
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
    /// Plan an order: a sheet for each print, what takes how long, what it costs
    Plan {
        /// A file with one JSON job, or `-` for standard input
        #[arg(required_unless_present = "ask")]
        file: Option<PathBuf>,
        /// What to plan, in words, such as "plastisol on white 100% cotton tee, 240 pieces of 30 x 25 cm"
        #[arg(long, value_name = "WORDS", conflicts_with = "file")]
        ask: Option<String>,
        /// How to write the plan
        #[arg(long, value_enum, default_value_t = Layout::Text)]
        format: Layout,
    },
    /// Check the knowledge and say everything that is wrong with it
    Check,
    /// Run the knowledge's own worked cases
    Cases {
        /// Only cases whose id holds this text
        filter: Option<String>,
    },
    /// Say which rules, and which sides of their thresholds, no worked case touches
    Coverage,
}

#[derive(Clone, Copy, PartialEq, Eq, ValueEnum)]
enum UnitSystem {
    Metric,
    /// US customary units, with the metric ones beside them
    Us,
}

#[derive(Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Format {
    Text,
    Json,
    Markdown,
    /// The certificate of the verdict, once the independent checker has accepted it
    Proof,
}

#[derive(Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Layout {
    Text,
    Json,
    Markdown,
    /// A page to print
    Html,
}

/// Done; done, and something was found; could not be done.
const FOUND: u8 = 1;
const FAILED: u8 = 2;

fn main() -> ExitCode {
    let arguments = Arguments::parse();
    match run(&arguments) {
        Ok(code) => ExitCode::from(code),
        Err(Failure::Problems(problems)) => {
            report(&problems);
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

fn report(problems: &Problems) {
    for problem in problems.list() {
        eprintln!("{:?}", Report::new(problem.clone()));
    }
}

/// What is said before an answer that takes no account of some words.
fn left_out(part: &InPart) -> String {
    let words: Vec<String> = part.unread.iter().map(|w| format!("`{w}`")).collect();
    let words = words.join(", ");
    if part.weighs {
        let rest: Vec<&str> = part.known.split_whitespace().collect();
        return format!(
            "Depends on {words}, which is not understood and may turn the answer:\n\
             say it in other words. The rest, `{}`, would be:",
            rest.join(" ")
        );
    }
    format!(
        "Answered without {words}. This holds only if it says nothing that\n\
         matters of the cloth, its finish, the ink, the wash or the use:"
    )
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
    let mut knowledge = match &arguments.knowledge {
        Some(folder) => Knowledge::from_files(files(folder, "knowledge/")?)?,
        None => Knowledge::built_in()?,
    };
    for folder in &arguments.house {
        knowledge = knowledge.with_house(&name(folder)?, files(folder, "")?)?;
    }
    if arguments.units == UnitSystem::Us {
        knowledge = knowledge.with_units(washfast::quantity::System::Us);
    }
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
            let question = question.join(" ");
            match knowledge.ask(&question) {
                Ok(reply) => {
                    write_reply(&mut out, &reply, *format)?;
                    0
                }
                Err(problems) => {
                    report(&problems);
                    if matches!(format, Format::Text | Format::Markdown)
                        && let Some(part) = knowledge.in_part(&question, &problems)
                    {
                        writeln!(out, "{}\n", left_out(&part))?;
                        write_reply(&mut out, &part.reply, *format)?;
                    }
                    FAILED
                }
            }
        }
        Some(Command::Plan { ask: Some(words), format, .. }) => {
            write_plan(&mut out, &knowledge.plan_question(words)?, *format)?
        }
        Some(Command::Plan { file, format, .. }) => {
            let text = match file {
                Some(file) if *file != Path::new("-") => std::fs::read_to_string(file).map_err(|e| about(file, &e))?,
                _ => io::read_to_string(io::stdin())?,
            };
            match knowledge.plan_line(1, &text) {
                Ok(plan) => write_plan(&mut out, &plan, *format)?,
                Err(reply) => {
                    writeln!(out, "{}", serde_json::to_string(&reply).map_err(io::Error::from)?)?;
                    FAILED
                }
            }
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
            for row in tally(m) {
                let by: Vec<String> = row.by_basis.iter().map(|(basis, n)| format!("{n} {basis}")).collect();
                writeln!(out, "  {} {}: {}", row.count, row.what, by.join(", "))?;
            }
            for overlay in &m.overlays {
                writeln!(out, "with {} (digest {})", overlay.name, overlay.digest)?;
            }
            0
        }
        Some(Command::Cases { filter }) => cases(&knowledge, filter.as_deref(), &mut out)?,
        Some(Command::Coverage) => coverage(&knowledge, &mut out)?,
    };
    out.flush()?;
    Ok(code)
}

fn write_plan(out: &mut impl Write, plan: &washfast::plan::Plan, format: Layout) -> io::Result<u8> {
    match format {
        Layout::Text => write!(out, "{}", render::plan_at(plan, width().unwrap_or(WIDEST)))?,
        Layout::Json => writeln!(out, "{}", serde_json::to_string_pretty(plan).map_err(io::Error::from)?)?,
        Layout::Markdown => write!(out, "{}", render::plan_markdown(plan))?,
        Layout::Html => write!(out, "{}", render::page("Plan", &render::plan_markdown(plan)))?,
    }
    Ok(0)
}

/// A shop's folder gives its knowledge the name.
fn name(folder: &Path) -> io::Result<String> {
    let whole = folder.canonicalize().map_err(|e| about(folder, &e))?;
    Ok(whole.file_name().map(|n| n.to_string_lossy().into_owned()).unwrap_or_default())
}

/// The YAML files below a folder, named by their path in it.
fn files(folder: &Path, lead: &str) -> io::Result<Vec<SourceFile>> {
    fn walk(folder: &Path, list: &mut Vec<PathBuf>) -> io::Result<()> {
        for entry in std::fs::read_dir(folder).map_err(|e| about(folder, &e))? {
            let entry = entry?;
            // A link to a folder is not followed: it may lead in a circle.
            if entry.file_type()?.is_dir() {
                walk(&entry.path(), list)?;
            } else {
                list.push(entry.path());
            }
        }
        Ok(())
    }
    let mut paths = Vec::new();
    walk(folder, &mut paths)?;
    paths.sort();
    let mut list = Vec::new();
    for path in paths {
        match path.extension().and_then(|e| e.to_str()) {
            Some("yaml") => {}
            Some("yml") => return Err(io::Error::other(format!("{}: name it `.yaml`", path.display()))),
            _ => continue,
        }
        let mut bytes = Vec::new();
        let file = std::fs::File::open(&path).map_err(|e| about(&path, &e))?;
        // A longer text is refused, so no more than that is read.
        file.take(SourceFile::MAX_BYTES as u64 + 1).read_to_end(&mut bytes).map_err(|e| about(&path, &e))?;
        let inner = path.strip_prefix(folder).unwrap_or(&path).display();
        list.push(SourceFile::from_bytes(&format!("{lead}{inner}"), &bytes));
    }
    if list.is_empty() {
        return Err(io::Error::other(format!("{}: there are no `.yaml` files in it", folder.display())));
    }
    Ok(list)
}

/// An error with the path that it is about.
fn about(path: &Path, error: &io::Error) -> io::Error {
    io::Error::new(error.kind(), format!("{}: {error}", path.display()))
}

fn write_reply(out: &mut impl Write, reply: &Reply, format: Format) -> io::Result<()> {
    match (reply, format) {
        (Reply::Answer(a), Format::Text) => match width() {
            Some(width) => write!(out, "{}", render::text_at(a, width)),
            None => write!(out, "{}", render::text(a)),
        },
        (Reply::Answer(a), Format::Markdown) => write!(out, "{}", render::markdown(a)),
        (Reply::Answer(a), Format::Json | Format::Proof) => writeln!(out, "{}", serde_json::to_string(a)?),
        (Reply::Ranking(r), Format::Text) => write!(out, "{}", render::ranking_at(r, width().unwrap_or(WIDEST))),
        (Reply::Ranking(r), Format::Markdown) => write!(out, "{}", render::ranking_markdown(r)),
        (Reply::Ranking(r), Format::Json | Format::Proof) => writeln!(out, "{}", serde_json::to_string(r)?),
        (Reply::Difference(d), Format::Json | Format::Proof) => writeln!(out, "{}", serde_json::to_string(d)?),
        (Reply::Difference(d), _) => write!(out, "{}", render::difference_at(d, width().unwrap_or(WIDEST))),
        (Reply::Ask(a), Format::Json | Format::Proof) => writeln!(out, "{}", serde_json::to_string(a)?),
        (Reply::Ask(a), _) => write!(out, "{}", render::question_at(a, width().unwrap_or(WIDEST))),
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

const HELP: &str = "\
One job:    can white plastisol go on navy 50/50 cotton polyester hoodie?
  shorter:  white plastisol on navy 80% cotton 20% polyester hoodie
            navy cotton tee, white plastisol
  parts:    plastisol on shell 100% nylon; lining 100% polyester
  more:     … with low-cure additive 5 % · using flash, heat press
            … at 150 °C for 90 s · through 43 /cm
How:        how to print discharge on black cotton
            what would let plastisol go on red polyester
            what must I know for puff on softshell
Choose:     which inks go on black leggings 88 nylon 12 elastane
            which inks go on white cotton tee where hand is soft
            which fabrics take puff · white cotton tee, which ink
            compare plastisol and water-based on white cotton tee
Change it:  same but at 140 °C · same but navy · same but red ink
            same but no conveyor dryer · same but on black polyester
            what changes if at 140 °C
The shop:   given shop has flash, heat press; dryer 2.4 m · given units us
            given (what stands) · forget shop
Why:        why (the whole chain of the last answer) · why not …
            why did plastisol on polyester jacket peel
            plastisol cracked on leggings
            record it cracked after two washes (drafts a case of the last job)
Workshop:   can nylon be flashed · water-based dried in the screen
            what mesh for glitter · what cleans plastisol off a screen
            convert 43 /cm · belt for 60 s in 2.4 m
            how much low-cure additive for 1.5 kg at 8 %
Look it up: show low-cure additive · show rules about elastane · what is mesh
A line that ends in \\ goes on in the next; exit or ctrl-d ends.";

/// Reads questions until the input ends.
fn prompt(knowledge: &Knowledge) -> Result<u8, Failure> {
    let mut out = io::stdout().lock();
    let mut talk = Talk { session: Session::new(knowledge.clone()), last: None };
    if !io::stdin().is_terminal() {
        let mut code = 0;
        let mut open = String::new();
        for line in io::stdin().lock().lines() {
            open.push_str(&line?);
            if !goes_on(&mut open) {
                code = if talk.line(&open, &mut out)? { code } else { FAILED };
                open.clear();
            }
        }
        if !open.is_empty() && !talk.line(&open, &mut out)? {
            code = FAILED;
        }
        return Ok(code);
    }
    writeln!(out, "Ask, for instance: can plastisol go on black polyester?  (help, exit)")?;
    let error = |e: rustyline::error::ReadlineError| io::Error::other(e.to_string());
    let mut editor: rustyline::Editor<Completion, _> = rustyline::Editor::new().map_err(error)?;
    editor.set_helper(Some(Completion { knowledge: knowledge.clone() }));
    let mut open = String::new();
    loop {
        match editor.readline(if open.is_empty() { "washfast> " } else { "     ...> " }) {
            Ok(line) => {
                open.push_str(&line);
                if goes_on(&mut open) {
                    continue;
                }
                let _ = editor.add_history_entry(open.as_str());
                if matches!(open.trim(), "exit" | "quit") {
                    return Ok(0);
                }
                talk.line(&open, &mut out)?;
                open.clear();
            }
            Err(rustyline::error::ReadlineError::Interrupted) => open.clear(),
            Err(rustyline::error::ReadlineError::Eof) => return Ok(0),
            Err(e) => return Err(error(e).into()),
        }
    }
}

/// Whether a question goes on in the next line.
fn goes_on(open: &mut String) -> bool {
    let more = open.trim_end().ends_with('\\');
    if more {
        open.truncate(open.trim_end().len() - 1);
        open.push(' ');
    }
    more
}

/// Completes the word at the cursor.
#[derive(rustyline::Helper, rustyline::Highlighter, rustyline::Hinter, rustyline::Validator)]
struct Completion {
    knowledge: Knowledge,
}

impl rustyline::completion::Completer for Completion {
    type Candidate = String;

    fn complete(&self, line: &str, at: usize, _: &rustyline::Context<'_>) -> rustyline::Result<(usize, Vec<String>)> {
        Ok(washfast::complete::complete(&self.knowledge, line.get(..at).unwrap_or(line)))
    }
}

/// A conversation.
struct Talk {
    session: Session,
    last: Option<Reply>,
}

impl Talk {
    /// Answers one line; false where it was not understood.
    fn line(&mut self, line: &str, out: &mut impl Write) -> io::Result<bool> {
        match line.trim().trim_end_matches(['?', '!', '.']).to_lowercase().as_str() {
            "" if !self.session.is_asking() => return Ok(true),
            "help" => {
                writeln!(out, "{HELP}\n")?;
                return Ok(true);
            }
            "why" => {
                match self.last.as_ref().and_then(Reply::answer) {
                    Some(answer) => writeln!(out, "{}", render::tree_at(answer, width().unwrap_or(WIDEST)))?,
                    None => writeln!(out, "Ask about a job first; then `why` tells the whole chain of reasons.\n")?,
                }
                return Ok(true);
            }
            _ => {}
        }
        match self.session.ask(line) {
            Ok(said) => self.said(said, out).map(|()| true),
            Err(problems) => {
                for problem in problems.list() {
                    writeln!(out, "{:?}", Report::new(problem.clone()))?;
                }
                if let Some(part) = self.session.knowledge().in_part(line, &problems)
                    && let Ok(said) = self.session.ask(&part.known)
                {
                    writeln!(out, "{}\n", left_out(&part))?;
                    self.said(said, out)?;
                }
                Ok(false)
            }
        }
    }

    fn said(&mut self, said: Said, out: &mut impl Write) -> io::Result<()> {
        if let Some(text) = &said.taken_as {
            writeln!(out, "({text})")?;
        }
        if let Some(changed) = &said.changed {
            writeln!(out, "{}", render::difference_at(changed, width().unwrap_or(WIDEST)))?;
        }
        write_reply(out, &said.reply, Format::Text)?;
        writeln!(out)?;
        if said.reply.answer().is_some() {
            self.last = Some(said.reply);
        }
        Ok(())
    }
}

fn orders(knowledge: &Knowledge, file: &Path, out: &mut impl Write) -> Result<u8, Failure> {
    let input: Box<dyn BufRead> = if file == Path::new("-") {
        Box::new(io::stdin().lock())
    } else {
        Box::new(BufReader::new(std::fs::File::open(file).map_err(|e| about(file, &e))?))
    };
    for (index, line) in input.split(b'\n').enumerate() {
        let line = line?;
        let text = String::from_utf8_lossy(&line);
        let reply = knowledge.decide_line(index + 1, text.trim_end_matches('\r'));
        writeln!(out, "{}", serde_json::to_string(&reply).map_err(io::Error::from)?)?;
    }
    Ok(0)
}

/// Says what no case touches.
fn coverage(knowledge: &Knowledge, out: &mut impl Write) -> Result<u8, Failure> {
    let all = knowledge.coverage().rules;
    let (mut missed, mut excused) = (0, 0);
    for rule in &all {
        let mut told = rule.missing();
        match &rule.excuse {
            None if told.is_empty() => continue,
            None => {}
            Some(_) if rule.wrong() => told.push("its `untouched:` can go: cases touch all of it".to_owned()),
            Some(why) => told.push(format!("because {why}")),
        }
        if rule.wrong() {
            missed += 1
        } else {
            excused += 1
        }
        writeln!(out, "{} ({})", rule.rule, rule.place)?;
        for what in told {
            writeln!(out, "  {what}")?;
        }
    }
    let all = all.len();
    writeln!(
        out,
        "{} of {all} rules are touched on every side, {excused} say why they cannot be",
        all - missed - excused
    )?;
    Ok(if missed == 0 { 0 } else { FOUND })
}

/// Runs the worked cases. With houses their own cases count; what they change in the others is told.
fn cases(knowledge: &Knowledge, filter: Option<&str>, out: &mut impl Write) -> Result<u8, Failure> {
    let mut results = knowledge.cases();
    results.retain(|r| filter.is_none_or(|f| r.id.contains(f)));
    let mut told = |failed: &[&CaseResult]| -> io::Result<()> {
        for case in failed {
            writeln!(out, "{} ({})", case.id, case.place)?;
            for failure in &case.failures {
                writeln!(out, "  {failure}")?;
            }
        }
        Ok(())
    };
    let houses = !knowledge.model().overlays.is_empty();
    let (own, below): (Vec<&CaseResult>, Vec<&CaseResult>) =
        results.iter().partition(|r| !houses || r.layer != BUILT_IN);
    let failed: Vec<&CaseResult> = own.iter().copied().filter(|r| !r.failures.is_empty()).collect();
    let changed: Vec<&CaseResult> = below.iter().copied().filter(|r| !r.failures.is_empty()).collect();
    told(&failed)?;
    if !changed.is_empty() {
        told(&changed)?;
        writeln!(out, "{} of {} built-in cases come out otherwise here", changed.len(), below.len())?;
    }
    writeln!(out, "{} passed, {} failed", own.len() - failed.len(), failed.len())?;
    Ok(if failed.is_empty() { 0 } else { FOUND })
}
