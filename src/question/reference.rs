//! The question language, by example. Every example here is run as a test.
//!
//! A question is short and plain. Letter case and most punctuation do not matter. What the words name is knowledge:
//! fibres, inks, articles and their aliases in several languages live in YAML, never here.
//!
//! ```
//! # use washfast::{Knowledge, knowledge::Reply};
//! # let knowledge = Knowledge::built_in()?;
//! # let verdict = |q: &str| knowledge.ask(q).map(|r| r.answer().map(|a| a.verdict).unwrap_or_default());
//! # let page = |q: &str| match knowledge.ask(q) { Ok(Reply::Page(lines)) => lines.join("\n"), other => format!("{other:?}") };
//! // One job. `on`, `go on`, `hold on`, `be printed on`, `ok for` are the same.
//! assert_eq!(verdict("can plastisol go on white 100% cotton jersey?")?, "yes");
//! assert_eq!(verdict("is plastisol ok for white 100% cotton jersey")?, "yes");
//! assert_eq!(verdict("plastisol on white 100% cotton jersey")?, "yes");
//! // What an answer tells anyway may be asked at the end.
//! assert_eq!(verdict("plastisol on white 100% cotton jersey, will it hold?")?, "yes");
//! // Ink and cloth in any order; a comma helps where a colour could belong to either.
//! assert_eq!(verdict("white 100% cotton jersey, plastisol")?, "yes");
//! # Ok::<(), washfast::diagnostic::Problems>(())
//! ```
//!
//! # The ink
//! A colour before the ink is the print's. The layer on top comes first: `white plastisol over blocker base`; what it
//! goes over may also be said last. What is stirred in follows with `with`, a dose before or after its name.
//! ```
//! # use washfast::Knowledge;
//! # let knowledge = Knowledge::built_in()?;
//! # let verdict = |q: &str| knowledge.ask(q).map(|r| r.answer().map(|a| a.verdict).unwrap_or_default());
//! let layers = |q: &str| knowledge.statements(q).map(|s| s.layers);
//! assert_eq!(layers("white plastisol over blocker base on red polyester")?, 2);
//! assert_eq!(layers("white plastisol on red polyester over blocker base")?, 2);
//! assert_eq!(verdict("plastisol with 5% low-cure additive on white cotton at 135 °C for 90 s")?, "yes-if");
//! // An ink that is two at once is asked about.
//! assert!(knowledge.ask("water-based plastisol on cotton").is_err());
//! # Ok::<(), washfast::diagnostic::Problems>(())
//! ```
//!
//! # The cloth
//! What an order form says, in any order: colour (a name or `#rrggbb`), finish, construction, article, weight, and the
//! composition with shares before or after the fibres, in words or codes. Shares add up to 100. Of several parts the
//! print lies on one, and one other may pass through the heat with it.
//! ```
//! # use washfast::{Knowledge, knowledge::Reply};
//! # let knowledge = Knowledge::built_in()?;
//! # let verdict = |q: &str| knowledge.ask(q).map(|r| r.answer().map(|a| a.verdict).unwrap_or_default());
//! for cloth in ["navy 80/20 cotton poly hoodie", "CO 80 PES 20", "80% Baumwolle 20% Polyester", "60 coton 40 polyester",
//!     "180 g/m² ringspun cotton jersey", "#1b1b1f cotton", "water-repellent nylon", "60% cotton 40% other fibres",
//!     "body 100% cotton, sleeves 100% polyester", "shell 100% nylon; lining 100% polyester", "yellow hi-vis polyester vest"]
//! {
//!     knowledge.ask(&format!("plastisol on {cloth}"))?;
//! }
//! // Codes that mean two fibres, and shares of fibres that are not named, are answered for each that may be meant.
//! for cloth in ["60% PE 40% CO", "80/20 tee"] {
//!     let Reply::Ranking(each) = knowledge.ask(&format!("plastisol on {cloth}"))? else { panic!("{cloth}") };
//!     assert_eq!(each.rows.len(), 2, "{cloth}");
//! }
//! // Sums that are not 100, shares of nothing, numbers without units: asked about.
//! for cloth in ["70% cotton 40% polyester", "-5% cotton", "cotton at 60", "cotton at 320 °C"] {
//!     assert!(knowledge.ask(&format!("plastisol on {cloth}")).is_err(), "{cloth}");
//! }
//! # Ok::<(), washfast::diagnostic::Problems>(())
//! ```
//!
//! # What was found out
//! What differs from item to item, or stands on a data sheet, follows `found`: the thing, its property, the value. The
//! order may go on behind a comma.
//! ```
//! # use washfast::Knowledge;
//! # let knowledge = Knowledge::built_in()?;
//! # let verdict = |q: &str| knowledge.ask(q).map(|r| r.answer().map(|a| a.verdict).unwrap_or_default());
//! let cap = "white plastisol over white plastisol on black cotton cap";
//! assert_eq!(verdict(cap)?, "depends");
//! assert_eq!(verdict(&format!("{cap}, found cap stiff front: no"))?, "yes-if");
//! assert_eq!(verdict(&format!("{cap}, found cap stiff front: no, 40 pieces"))?, "yes-if");
//! // What the knowledge rules out or settles is no finding.
//! assert!(knowledge.ask("plastisol on leather, found leather heat limit 300 °C").is_err());
//! # Ok::<(), washfast::diagnostic::Problems>(())
//! ```
//!
//! # What else is said
//! `using` machines · `with` an additive or finish · `without` either or a machine · `at` a film temperature · `for` a
//! time, a number of washes, or who will wear it · `through` a mesh.
//! ```
//! # use washfast::Knowledge;
//! # let knowledge = Knowledge::built_in()?;
//! # let verdict = |q: &str| knowledge.ask(q).map(|r| r.answer().map(|a| a.verdict).unwrap_or_default());
//! assert_eq!(verdict("plastisol on white 100% cotton jersey using hair dryer")?, "no");
//! assert_eq!(verdict("plastisol on white 100% cotton jersey at 320 °F for 1 min through 110 /in")?, "yes");
//! assert_eq!(verdict("plastisol on white 100% cotton jersey without heat gun")?, "yes");
//! # Ok::<(), washfast::diagnostic::Problems>(())
//! ```
//!
//! # Other questions about one job
//! ```
//! # use washfast::Knowledge;
//! # let knowledge = Knowledge::built_in()?;
//! for question in ["how to print discharge on black cotton", "why not plastisol on polypropylene fleece",
//!     "what would let water-based go on showerproof nylon", "what must I know for puff on softshell",
//!     "is 155 °C enough for plastisol on 80/20 cotton polyester", "how long to cure plastisol on white cotton"]
//! {
//!     assert!(knowledge.ask(question)?.answer().is_some(), "{question}");
//! }
//! # Ok::<(), washfast::diagnostic::Problems>(())
//! ```
//!
//! # Questions that choose
//! `where` chooses by the properties of the thing, in the condition language of the rules.
//! ```
//! # use washfast::{Knowledge, knowledge::Reply};
//! # let knowledge = Knowledge::built_in()?;
//! for question in ["which inks go on black leggings 88 nylon 12 elastane where hand is soft", "white cotton tee, which ink",
//!     "which fabrics take solvent-based nylon ink", "compare plastisol and puff on white cotton tee",
//!     "plastisol vs water-based on white cotton tee"]
//! {
//!     assert!(matches!(knowledge.ask(question)?, Reply::Ranking(_)), "{question}");
//! }
//! # Ok::<(), washfast::diagnostic::Problems>(())
//! ```
//!
//! Prints beside each other are told each by itself, and the worst verdict is that of all.
//! ```
//! # use washfast::Knowledge;
//! # let knowledge = Knowledge::built_in()?;
//! let reply = knowledge.ask("red and white plastisol on black cotton tee")?;
//! assert_eq!(reply.answer().map(|a| a.prints.len()), Some(2));
//! # Ok::<(), washfast::diagnostic::Problems>(())
//! ```
//!
//! # Wishes
//! A wish puts what is possible in order and decides nothing; `where` chooses, and both go together. Beside one ink it is
//! told how far that ink goes with it.
//! ```
//! # use washfast::{Knowledge, knowledge::Reply};
//! # let knowledge = Knowledge::built_in()?;
//! for question in ["softest ink for black cotton tee", "soft hand on black cotton, which ink",
//!     "which ink with a soft hand and good cover on black cotton tee", "most durable ink for navy 80/20 cotton polyester hoodie",
//!     "which ink lasts 50 washes on white cotton tee where hand is soft"]
//! {
//!     assert!(matches!(knowledge.ask(question)?, Reply::Ranking(_)), "{question}");
//! }
//! assert!(knowledge.ask("plastisol with soft hand on white cotton tee")?.answer().is_some());
//! # Ok::<(), washfast::diagnostic::Problems>(())
//! ```
//!
//! # What goes into an ink, and what lies on what
//! ```
//! # use washfast::Knowledge;
//! # let knowledge = Knowledge::built_in()?;
//! for question in ["how much nylon bonding catalyst in plastisol on nylon jacket", "add 5% low-cure additive to plastisol, cotton tee",
//!     "can I put nylon bonding catalyst in water-based ink", "silicone ink over plastisol",
//!     "silicone on black polyester tee with silicone blocker under it"]
//! {
//!     assert!(knowledge.ask(question)?.answer().is_some(), "{question}");
//! }
//! # Ok::<(), washfast::diagnostic::Problems>(())
//! ```
//!
//! # Small questions
//! ```
//! # use washfast::{Knowledge, knowledge::Reply};
//! # let knowledge = Knowledge::built_in()?;
//! for question in ["what cleans plastisol off a screen", "how do I clean a screen of plastisol", "water-based dried in the screen",
//!     "how do I remove dried water-based ink from a screen", "how do I store discharge ink", "can nylon be flashed",
//!     "how long does discharge ink keep", "can I still use plastisol from last year",
//!     "what mesh for glitter", "43 mesh in inches", "convert 212 °F", "belt speed 60 s 2.4 m",
//!     "how much low-cure additive for 1.5 kg at 8 %", "what is dwell", "show 43-80",
//!     "how much plastisol for 240 prints of 30 x 25 cm at 60 % through 43 /cm",
//!     "prints an hour at 2.4 m/min with 0.75 m pitch on 2 lanes", "show low-cure additive",
//!     "show rules about elastane"]
//! {
//!     assert!(matches!(knowledge.ask(question)?, Reply::Page(_)), "{question}");
//! }
//! # Ok::<(), washfast::diagnostic::Problems>(())
//! ```
//!
//! # What went wrong
//! The failure stands where people put it, with or without a `why`. What is said of when it was seen is left aside. Without
//! a cloth it is told what is behind the failure at any job.
//! ```
//! # use washfast::{Knowledge, knowledge::Reply};
//! # let knowledge = Knowledge::built_in()?;
//! # let page = |q: &str| match knowledge.ask(q) { Ok(Reply::Page(lines)) => lines.join("\n"), other => format!("{other:?}") };
//! for question in ["why did plastisol on nylon jacket peel off", "why does plastisol peel off nylon jacket",
//!     "plastisol peeled off nylon jacket", "the print on nylon jacket came off, plastisol"]
//! {
//!     assert!(page(question).starts_with("peeling: standard plastisol on jacket 100 % nylon."), "{question}");
//! }
//! assert!(page("why did the ink dry in the screen").starts_with("ink dried in the mesh, failure"));
//! assert!(page("why did plastisol on cotton at 120 °C wash off after two washes").contains("but 120 °C was given"));
//! # Ok::<(), washfast::diagnostic::Problems>(())
//! ```
//!
//! # From one question to the next
//! Kept by a [`Session`](crate::session::Session).
//! ```
//! # use washfast::{Knowledge, session::Session};
//! let mut session = Session::new(Knowledge::built_in()?);
//! session.ask("white plastisol on navy 50/50 hoodie")?;
//! let mut taken = |q: &str| session.ask(q).map(|said| said.taken_as.unwrap_or_default());
//! assert_eq!(taken("same but at 140 °C")?, "white plastisol on navy 50/50 hoodie at 140 °C");
//! // A word takes the place of what was said of the same; where it can be meant two ways, it is said how it was taken.
//! assert!(taken("same but red")?.contains("for the print say: same but red ink"));
//! assert!(taken("same but no conveyor dryer")?.ends_with("without conveyor dryer"));
//! // Only what differs; the question before stays as it was.
//! assert!(taken("what changes if at 150 °C")?.contains("at 150 °C"));
//! assert!(taken("what if navy")?.contains("without conveyor dryer; navy was taken for the cloth"));
//! // Asks back until it is settled: a number or words answer, an empty line stops.
//! session.ask("what must I know for plastisol on nylon")?;
//! session.ask("none")?;
//! session.ask("")?;
//! session.ask("given shop has flash, heat press; dryer is 2.4 m; units us")?;
//! session.ask("forget all")?;
//! // What came of the last job, drafted as a house case in YAML.
//! session.ask("record it peeled after two washes")?;
//! # Ok::<(), washfast::diagnostic::Problems>(())
//! ```
