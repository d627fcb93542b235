//! The one table of everything that can be said.
//!
//! Class, roles, shape, help, completions, the command line and the conversions to and from the
//! wire all come from here. A line is: number on the wire, class (`F` fact or `D` decision), what
//! it is about, who may say it, its name in code and at the prompt, what it does, and its fields.
//! Numbers are for ever; a recorded verb never changes: a new meaning is a new verb.

/// Hands the whole table of verbs to a macro of the caller.
#[macro_export]
macro_rules! with_verbs {
    ($cb:ident) => { $cb! {
        // ---- counter
        1 F Shop Counter Ticket "ticket" "Open a ticket for one visit of a customer" {
            customer: Option<EntryName> = "the customer, as add-customer named them",
            bringer: Option<Sealed> = "who brought it, if not the customer",
            note: Option<Phrase> = "anything to remember about the visit",
        }
        2 F TakeIn Counter TakeIn "take-in" "Take a head in under a tag and start its job" {
            skull: Skull = "the tag that goes on it",
            ticket: Option<EntryName> = "the ticket of the visit",
            species: Option<Name> = "such as whitetail, elk, bear, hog",
            sex: Option<Sex> = "sex of the animal",
            age: Option<Name> = "age class, such as yearling or adult",
            obtained: Option<Obtained> = "how it was obtained",
            arrival: Option<Arrival> = "the state it comes in",
            nose: Option<Wish> = "wish for the nasal bones",
            ears: Option<Wish> = "wish for the ear bones",
            jaw: Option<Wish> = "wish for the lower jaw",
            teeth: Option<Wish> = "wish for loose teeth",
            whiteness: Option<Name> = "how white, in the shop's words",
            points: Option<u32> = "antler points, both sides together",
            condition: Option<Phrase> = "what is broken, shot or missing, as seen",
            hide_on: bool = "condition not seen: the hide is on",
            plan: Vec<PlanStep> = "steps and how long each is expected to take",
        }
        3 F Skull Counter Papers "papers" "Note the papers of a head" {
            skull: Skull = "whose papers",
            details: Option<Sealed> = "hunter and licence, sealed",
            kill_tag: Option<Name> = "kill tag or confirmation number",
            killed_on: Option<Day> = "day of the kill",
            county: Option<Name> = "county of the kill",
            state: Option<Name> = "state or province of the kill",
            salvage_permit: Option<Name> = "salvage permit number, for a head found dead",
            agency_seal: Option<Name> = "number of the agency's seal",
            disease_area: Option<YesNo> = "whether it comes from a disease area",
            test: Option<TestResult> = "result of the disease test",
            lies: Option<Phrase> = "where the paper lies",
        }
        4 F Skull Bench Condition "condition" "Say the condition, once the hide is off" {
            skull: Skull = "whose condition",
            nose: Option<PartState> = "state of the nasal bones",
            jaw: Option<PartState> = "state of the lower jaw",
            teeth: Option<u32> = "teeth counted",
            shot: Option<YesNo> = "whether it is shot",
            words: Option<Phrase> = "what is broken or missing",
        }
        5 F Skull Counter Quote "quote" "Record the price that the customer heard" {
            skull: Skull = "which job",
            lines: Vec<PriceLine> = "what it is made of",
            total: Option<Money> = "the total that was said, tax and all",
            script: Option<Digest> = "digest of the script that priced it",
        }
        6 F Skull Counter Agree "agree" "Record that the customer agreed to the price" {
            skull: Skull = "which job",
            quote: Option<EntryName> = "the quote, if not the latest",
            means: Option<Means> = "how they said so",
        }
        7 F Skull Counter Charge "charge" "Add a charge to a job" {
            skull: Skull = "which job",
            amount: Money = "how much",
            what: Option<Phrase> = "what for",
        }
        8 F Skull Counter Pay "pay" "Record a payment, shared over the ticket's jobs" {
            skull: Skull = "any job of the ticket",
            amount: Money = "how much",
            means: Option<Means> = "cash, card, check or transfer",
            only_this: bool = "for this job alone, not for the whole ticket",
        }
        9 F Skull Counter Refund "refund" "Give money back for one job" {
            skull: Skull = "which job",
            amount: Money = "how much",
            means: Option<Means> = "cash, card, check or transfer",
            why: Option<Phrase> = "why",
        }
        10 F Skull Counter Promise "promise" "Promise a day" {
            skull: Skull = "which job",
            by: Day = "ready by this day",
            why: Option<Phrase> = "why that day",
        }
        11 F Skull Counter Tell "tell" "Record that the customer was told something" {
            skull: Skull = "which job",
            means: Option<Means> = "how",
            result: Option<Reached> = "what came of it",
            words: Option<Phrase> = "what was said",
        }
        12 F Skull Counter HandOver "hand-over" "Hand a finished skull over" {
            skull: Skull = "which job",
            collector: Option<Sealed> = "who collected it, if not the customer",
            words: Option<Phrase> = "anything said at the counter",
        }
        13 F Skull Counter Ship "ship" "Send a finished skull" {
            skull: Skull = "which job",
            carrier: Option<Name> = "who carries it",
            parcel: Option<Name> = "the carrier's number",
        }
        14 F Skull Counter GiveBack "give-back" "Give a head back unworked" {
            skull: Skull = "which job",
            why: Option<Phrase> = "why",
        }
        15 F Skull Counter OfficerTakes "officer-takes" "Record that an officer took it" {
            skull: Skull = "which job",
            agency: Option<Name> = "which agency",
            words: Option<Phrase> = "what was said, and the paper left",
        }
        16 F Skull Counter WriteOff "write-off" "Close a job that will not be handed over" {
            skull: Skull = "which job",
            how: WriteOffAs = "lost, ruined or unclaimed",
            rule: Option<Phrase> = "under which rule, for unclaimed work",
        }
        17 F Skull Counter BringBack "bring-back" "Take an ended job back in for re-work" {
            skull: Skull = "which job",
            why: Option<Phrase> = "what is wrong with it",
        }
        18 F Skull Counter Dispute "dispute" "Open a dispute" {
            skull: Skull = "which job",
            words: Option<Phrase> = "what the customer says",
        }
        19 F Skull Counter Answer "answer" "Answer a dispute" {
            skull: Skull = "which job",
            words: Phrase = "what the shop says",
        }
        20 F Skull Counter CloseDispute "close-dispute" "Close a dispute" {
            skull: Skull = "which job",
            words: Option<Phrase> = "how it was settled",
        }
        21 F Shop Counter AddCustomer "add-customer" "Note a new customer, sealed" {
            details: Sealed = "name, phone and the like",
            class: Option<Name> = "class for pricing, such as outfitter",
        }
        22 F Shop Counter AmendCustomer "amend-customer" "Replace a customer's details" {
            customer: EntryName = "which customer",
            details: Option<Sealed> = "the details anew",
            class: Option<Name> = "class for pricing",
        }
        94 F Shop Counter TaxedAs "taxed-as" "Say how a customer is taxed" {
            customer: EntryName = "which customer",
            county: Option<Name> = "whose rate holds, as in set-shop tax-rate.COUNTY",
            exempt: Option<YesNo> = "whether the customer is exempt",
            certificate: Option<Name> = "its number, or where it lies; it is not sealed",
            until: Option<Day> = "the last day of the exemption",
        }
        76 F Skull Counter Extra "extra" "Note what the customer wants beyond the usual" {
            skull: Skull = "which job",
            what: Name = "such as plaque, sheaths, stain, shipping or own-price",
            amount: Option<Money> = "the price that was said for it",
            why: Option<Phrase> = "why, or which one",
        }
        80 F Skull Counter Person "person" "Name who pays or who may collect, if not the customer" {
            skull: Skull = "which job",
            stands_as: Capacity = "payer or collector; giver comes with `pay`",
            details: Option<Sealed> = "who, sealed; nobody takes the name back",
        }
        93 F Skull Counter Purpose "purpose" "Say what a `tell` was for, if not with it" {
            skull: Skull = "which job",
            what: ToldFor = "ready, price, question, delay, last-notice or other",
            entry: Option<EntryName> = "the `tell` that it is of, if not the one said with it",
        }
        131 F Skull Counter ByWay "by-way" "Say by which way a head is cleaned" {
            skull: Skull = "which job",
            way: Name = "such as simmer, beetles, warm bath, enzyme, bury",
            plan: Vec<PlanStep> = "steps and how long each takes [default: those of the way]",
        }
        110 F Skull Counter Contact "contact" "Note how the customer does not want to be reached" {
            skull: Skull = "any head of the customer",
            means: Means = "phone, text, email or letter",
            wish: ReachWish = "never: not by this; again: by this again",
            words: Option<Phrase> = "what they said",
        }
        141 F Skull Counter Sell "sell" "Sell a skull that the shop owns" {
            skull: Skull = "which skull",
            price: Money = "what it is sold for, tax and all",
            buyer: Option<Sealed> = "who buys it, sealed",
            papers: Option<Phrase> = "the papers that go with it, such as a bill of sale",
        }
        // ---- bench
        23 F Skull Bench ClipTag "clip-tag" "Clip a further tag to a job" {
            skull: Skull = "which job",
            tag: Tag = "the tag that goes on",
        }
        24 F Skull Bench SwapTag "swap-tag" "Take a tag off and clip another" {
            skull: Skull = "the tag that comes off",
            tag: Tag = "the tag that goes on",
            why: Option<Phrase> = "why",
            witness: Option<Name> = "who else saw it",
        }
        25 F Skull Bench Flesh "flesh" "Clean by knife" {
            skull: Skull = "which skull",
            brain: bool = "the brain is out",
        }
        26 F Skull Bench Wrap "wrap" "Wrap the antlers at the burr" {
            skull: Skull = "which skull",
        }
        27 F Skull Bench Unwrap "unwrap" "Take the wrap off" {
            skull: Skull = "which skull",
        }
        28 F Skull Bench In "in" "Put in a place" {
            place: Name = "where",
            skull: Skull = "which skull or piece",
        }
        29 F Skull Bench Out "out" "Take out of where it is" {
            skull: Skull = "which skull or piece",
        }
        30 F Skull Bench Look "look" "Look at it and say how it is" {
            skull: Skull = "which skull",
            tissue: Option<Tissue> = "tight, softening, slipping or clean",
            seams: Option<Firmness> = "how the sutures hold",
            teeth: Option<Firmness> = "how the teeth hold",
            greasy: Option<YesNo> = "whether grease shows",
        }
        31 F Skull Bench Wash "wash" "Pressure-wash" {
            skull: Skull = "which skull",
            brain: bool = "the brain is out",
        }
        91 F Skull Bench Rinse "rinse" "Rinse with water, without pressure" {
            skull: Skull = "which skull",
        }
        32 F Skull Bench Bag "bag" "Bag a part that came off" {
            skull: Skull = "which skull, and the piece",
            mark: Option<Name> = "the mark on the bag",
        }
        33 F Skull Bench Glue "glue" "Glue a part back" {
            skull: Skull = "which skull, and the piece",
        }
        84 F Skull Bench Tie "tie" "Tie a part on, so that the pot does not take it" {
            skull: Skull = "which skull, and the piece",
            with: Option<Name> = "what with, such as string or wire",
        }
        34 F Skull Bench Damage "damage" "Note a damage" {
            skull: Skull = "which skull, and the piece",
            what: Phrase = "what it is",
            whose: Option<Whose> = "as-found, ours or not-known",
            noticed: Option<Phrase> = "when it was noticed",
        }
        35 F Skull Bench Whiten "whiten" "Whiten with cream, without a bath" {
            skull: Skull = "which skull",
            strength: Option<Strength> = "strength of the cream",
        }
        36 F Skull Bench Coat "coat" "Seal with a coat" {
            skull: Skull = "which skull",
            with: Option<Name> = "what with",
        }
        37 F Skull Bench Stain "stain" "Stain faded antler" {
            skull: Skull = "which skull",
            with: Option<Name> = "what with",
        }
        38 F Skull Bench Repair "repair" "Repair" {
            skull: Skull = "which skull, and the piece",
            what: Option<Phrase> = "what was done",
        }
        39 F Skull Bench Mount "mount" "Mount on a plaque or stand" {
            skull: Skull = "which skull",
            on: Option<Name> = "on what",
        }
        40 F Skull Bench Inspect "inspect" "Inspect the finished skull" {
            skull: Skull = "which skull",
            faults: Option<Phrase> = "what is not right yet",
        }
        134 F Skull Bench Grade "grade" "Say how well a skull came out" {
            skull: Skull = "which skull",
            tissue: Option<Mark> = "no tissue left in ears, braincase and sockets: fails to best",
            grease: Option<Mark> = "no grease shows on dry bone",
            smell: Option<Mark> = "no smell from a closed warm bag",
            dust: Option<Mark> = "bone is firm, and does not chalk",
            seams: Option<Mark> = "seams and nasal bones are tight",
            teeth: Option<Mark> = "teeth are all in, and whole",
            burr: Option<Mark> = "burr, antlers or horns kept their color",
            whiteness: Option<Mark> = "bone is evenly white, or as was wished",
            words: Option<Phrase> = "what else was seen",
        }
        41 F Skull Bench Weigh "weigh" "Weigh" {
            skull: Skull = "which skull",
            mass: Mass = "what it weighs",
        }
        42 F Skull Bench Measure "measure" "Measure" {
            skull: Skull = "which skull",
            what: Name = "what was measured: spread, beam-r, g1-l, h1-r, length, width and so on",
            length: Length = "how long, such as 21 7/8in, 13 9/16in or 21.5cm",
        }
        43 F Skull Bench Photograph "photograph" "Name a photo of it" {
            skull: Skull = "which skull",
            original: Digest = "digest of the photo as taken",
            stripped: Option<Digest> = "digest of the copy without place and device",
            words: Option<Phrase> = "what it shows",
        }
        44 F Skull Bench Note "note" "Note anything" {
            skull: Skull = "which skull",
            words: Phrase = "what to remember",
        }
        45 F Shop Bench Stray "stray" "Note a thing without a tag" {
            words: Phrase = "what it is and its marks",
            place: Option<Name> = "where it was found",
        }
        46 F Skull Bench Identify "identify" "Say whose a stray is" {
            skull: Skull = "the job it belongs to",
            stray: EntryName = "which stray",
            why: Option<Phrase> = "how it was told",
            witness: Option<Name> = "who else saw it",
        }
        140 F Skull Bench Recognize "recognize" "Say whether it is the head that came in, by a look beside its photo" {
            skull: Skull = "which skull",
            answer: YesNo = "yes, no or unknown",
            photo: Option<EntryName> = "beside which photo",
            words: Option<Phrase> = "what it was known by, such as a chip on the left",
            witness: Option<Name> = "who else looked",
        }
        47 F Place Bench RollCall "roll-call" "Read every tag at a place" {
            place: Name = "where",
            tags: Vec<Tag> = "every tag that was read there",
        }
        82 F Skull Bench FoundIn "found-in" "Say that it is in a place where nobody said it in" {
            place: Name = "where it is",
            skull: Skull = "which skull or piece",
        }
        83 F Skull Bench Gone "gone" "Say that it is not where it was, and nobody said it out" {
            skull: Skull = "which skull or piece",
        }
        // ---- bath
        48 F Place Bench Fill "fill" "Fill a place with water and what goes in it" {
            place: Name = "where",
            water: Option<Volume> = "plain water",
            add: Vec<Stuff> = "what goes in, such as peroxide=2L@12%",
            recipe: Option<Name> = "by which recipe",
        }
        49 F Place Bench Heat "heat" "Say what was done to the heat" {
            place: Name = "where",
            how: Option<Flame> = "lit, boil, down or off",
            temperature: Option<Temperature> = "how hot it is",
        }
        50 F Place Bench Reading "reading" "Read strength, temperature or pH" {
            place: Name = "where",
            strength: Option<Strength> = "peroxide strength",
            temperature: Option<Temperature> = "temperature",
            ph: Option<Decimal> = "pH, 0 to 14",
            method: Option<Method> = "how it was read",
        }
        51 F Place Bench TopUp "top-up" "Top a bath up" {
            place: Name = "where",
            water: Option<Volume> = "plain water",
            add: Vec<Stuff> = "what goes in, such as peroxide=1L@12%",
        }
        52 F Place Bench Change "change" "Dump the water, refill alike, same skulls back" {
            place: Name = "where",
            old: Option<WaterLook> = "how the old water looked",
        }
        53 F Place Bench Dump "dump" "Dump the water" {
            place: Name = "where",
            old: Option<WaterLook> = "how the old water looked",
        }
        135 F Place Bench Observe "observe" "Note how a colony, a bath or another place is" {
            place: Name = "where",
            temperature: Option<Temperature> = "how warm it is",
            humidity: Option<Decimal> = "humidity of its air, 0 to 100 per cent",
            smell: Option<Much> = "how much it smells: none, little, much or foul",
            dead: Option<Much> = "how many of the colony are dead",
            fed: Option<Mass> = "what was fed to the colony beside the heads",
            water: Option<WaterLook> = "how its water looks: clear, cloudy, greasy or foul",
            words: Option<Phrase> = "what else was seen",
        }
        // ---- stock and hours
        54 F Shop Bench ReceiveStock "receive-stock" "Book stock in" {
            stuff: Stuff = "what and how much, such as peroxide=20L@12%",
            cost: Option<Money> = "what it cost, tax and all",
            lot: Option<Name> = "lot number",
        }
        55 F Shop Bench CountStock "count-stock" "Count what is there" {
            stuff: Stuff = "what and how much",
        }
        56 F Shop Bench Hours "hours" "Note hours worked" {
            worked: Span = "how long",
            what: Option<Phrase> = "at what",
        }
        57 F Shop Counter Visit "visit" "Note the visit of an inspector" {
            agency: Name = "which agency",
            words: Option<Phrase> = "what was looked at and said",
        }
        100 F Shop Counter Float "float" "Say with what money the till opens" {
            amount: Money = "how much is in it",
        }
        101 F Shop Counter CountTill "count-till" "Count the till, by coins and notes or as one sum" {
            coins: Vec<Coins> = "coins and notes of each value, such as 7x20 18x0.25",
            amount: Option<Money> = "all of it in one sum",
        }
        102 F Shop Counter PayIn "pay-in" "Put money into the till that no customer paid" {
            amount: Money = "how much",
            purse: Purse = "where from: bank, safe, owner, supplier, hands or other",
            why: Option<Phrase> = "why",
        }
        103 F Shop Counter PayOut "pay-out" "Take money out of the till, not to buy anything" {
            amount: Money = "how much",
            purse: Purse = "where to: bank, safe, owner, supplier, hands or other",
            why: Option<Phrase> = "why",
        }
        104 F Shop Counter Spent "spent" "Say what the shop spent, with the stock that it bought" {
            amount: Money = "how much, tax and all",
            stuff: Option<Stuff> = "the stock that it bought, which this books in",
            means: Option<Means> = "cash, card, check or transfer [default: cash of the till]",
            lot: Option<Name> = "lot number of the stock",
            what: Option<Phrase> = "what for",
        }
        105 F Shop Counter CardBatch "card-batch" "Note a batch of card payments that was settled" {
            amount: Money = "what the cards came to",
            fee: Option<Money> = "what was kept of it as a fee",
            number: Option<Name> = "number of the batch",
        }
        // ---- corrections
        58 F Shop Bench Amend "amend" "Replace an earlier line, from now on known as such" {
            entry: EntryName = "which line",
            verb: Box<Verb> = "the line as it should have been",
        }
        59 F Shop Bench Strike "strike" "Withdraw lines of this bench; they stay, crossed out" {
            entries: Vec<EntryName> = "which lines",
        }
        60 F Shop Bench Assign "assign" "Say which job an unplaced line belongs to" {
            entry: EntryName = "which line",
            job: EntryName = "which job",
        }
        78 F Shop Bench Void "void" "What stood under this number can no longer be read" {
            what: Option<Phrase> = "what it may have been",
        }
        86 F Shop Bench LeftOff "left-off" "Say that a line was left off after a question" {
            what: Phrase = "the line that was not said, without its free texts",
            job: Option<EntryName> = "the job that it was about",
            rules: Vec<Name> = "the rules that objected",
        }
        // ---- shop
        61 D Shop Owner EnrolBench "enrol-bench" "Enrol a bench" {
            key: Key32 = "its public key",
            name: Name = "its name",
            role: Role = "bench, counter, owner or viewer",
        }
        62 D Shop Owner RetireBench "retire-bench" "Retire a bench" {
            life: u32 = "which life",
        }
        63 D Shop Owner AddHand "add-hand" "Add a hand" {
            name: Name = "the name used at the bench",
        }
        64 D Shop Owner RetireHand "retire-hand" "Retire a hand" {
            name: Name = "the name used at the bench",
        }
        65 D Shop Owner AddPlace "add-place" "Add a place" {
            name: Name = "such as pot-1",
            kind: PlaceKind = "pot, tub, tank, freezer, rack, shelf or board",
            volume: Option<Volume> = "what it holds",
            material: Option<Material> = "what it is made of",
        }
        66 D Shop Owner RetirePlace "retire-place" "Retire a place" {
            name: Name = "which place",
        }
        85 D Shop Counter AddSpecies "add-species" "Add an animal that the shop cleans" {
            name: Name = "its one name on the log, such as nilgai",
            spellings: Vec<Name> = "what else is typed for it",
            head: Option<Headgear> = "antlers, horns, tusks or none",
            borne_by: Option<Bearers> = "whether males alone bear it, or both",
            group: Option<Group> = "the kind that it takes after, such as deer, horned or small",
        }
        130 D Shop Counter AboutSpecies "about-species" "Say more of an animal: size, grease, times, pieces" {
            species: Name = "which animal",
            size: Option<Size> = "how large its head is: small, middle, large or huge",
            grease: Option<u32> = "how greasy it is, from 0, not at all, to 3, very",
            most_heat: Option<Span> = "the most time in hot water, all goes together",
            usual: Vec<PlanStep> = "usual time of a step, such as simmer=45min",
            measure: Vec<Name> = "what is measured, such as length, g1 or spread",
            pieces: Vec<Piece> = "pieces of it that come apart, such as sheath-l or tusk-r",
            care: Option<Phrase> = "what to take care of",
        }
        132 D Shop Owner WayStep "way-step" "Write a step of the shop's own, for its ways and plans" {
            name: Name = "its name in plans",
            kind: Option<PlaceKind> = "the kind of place a head lies in for it [default: done by hand]",
            takes: Option<Span> = "how long it usually takes",
            again: Option<Span> = "how long after a look the next one is due",
            act: Option<Phrase> = "what to do when its time is over, such as dig it up",
            never_after: Vec<Name> = "the steps after which it must not come",
        }
        133 D Shop Owner Way "way" "Write a way of the shop's own, as its next version" {
            name: Name = "its name",
            steps: Vec<PlanStep> = "its steps in order, and how long each takes",
        }
        67 D Shop Owner SetShop "set-shop" "Change a setting of the shop" {
            setting: Name = "name, zone, currency, tax-rate, state, altitude and so on",
            value: Phrase = "its new value",
        }
        68 D Shop Owner Recipe "recipe" "Write a recipe, as its next version" {
            name: Name = "its name, such as bear-soak",
            water: Option<Volume> = "plain water",
            add: Vec<Stuff> = "what goes in",
            soak: Option<Span> = "how long a skull stays in it",
            change_after: Option<Span> = "when the water is changed",
        }
        69 D Shop Owner InstallScript "install-script" "Install a script, without using it yet" {
            kind: ScriptKind = "pricing or stages",
            name: Name = "its name",
            digest: Digest = "digest of its source",
        }
        70 D Shop Owner ActivateScript "activate-script" "Use an installed script from now on" {
            digest: Digest = "digest of its source",
        }
        77 D Shop Owner RetireScript "retire-script" "Use a script no longer" {
            kind: ScriptKind = "pricing or stages",
            name: Name = "its name",
        }
        150 D Shop Owner ShadowScript "shadow-script" "Record for some days what a rule would say, without its being asked" {
            digest: Digest = "digest of its source",
            lasts: Option<Span> = "for how long, from 1 h to 90 days [default: 7 days]",
        }
        151 D Shop Owner EndShadow "end-shadow" "Record no longer what a rule would say" {
            name: Name = "the name of the rule",
        }
        152 D Shop Owner AddTable "add-table" "Begin a table of the shop's own for its scripts, such as a fee by county" {
            name: Name = "its name, such as county-fee",
            of: CellKind = "what its values are: money, number, whole, text or yes-no",
            says: Option<Phrase> = "what it is for, in a sentence",
        }
        153 D Shop Owner SetRow "set-row" "Write a row of a table of the shop's own" {
            table: Name = "which table",
            row: Name = "which row, such as larimer",
            value: Phrase = "its value",
        }
        154 D Shop Owner DropRow "drop-row" "Take a row out of a table of the shop's own" {
            table: Name = "which table",
            row: Name = "which row",
        }
        155 D Shop Owner RetireTable "retire-table" "Use a table of the shop's own no longer" {
            name: Name = "which table",
        }
        71 D Skull Counter Replan "replan" "Give a job a new plan" {
            skull: Skull = "which job",
            plan: Vec<PlanStep> = "steps and how long each is expected to take",
        }
        72 D Skull Counter Hold "hold" "Hold a job" {
            skull: Skull = "which job",
            why: Phrase = "why, such as papers",
        }
        73 D Skull Counter Release "release" "Release a held job" {
            skull: Skull = "which job",
            why: Option<Phrase> = "what settled it",
        }
        74 D Shop Counter MergeCustomer "merge-customer" "Make two customers one" {
            customer: EntryName = "the one that stays",
            other: EntryName = "the one that goes into it",
        }
        75 D Shop Owner ForgetCustomer "forget-customer" "Drop the keys of a customer's details" {
            customer: EntryName = "which customer",
        }
        106 D Shop Counter CloseTill "close-till" "Close the till of a day; later lines correct it, and say so" {
            day: Day = "which day",
        }
        92 D Shop Owner PutClockRight "put-clock-right" "Put right what a wrong clock of the shop stamped" {
            first: EntryName = "the first line that it stamped, such as 5:120",
            last: EntryName = "the last line that it stamped",
            was: Moment = "when the first of them really reached the shop",
        }
        79 F Shop Owner Lost "lost" "Say that records were lost; the shop itself says it" {
            from: u32 = "the place of the first that is gone",
            to: u32 = "how many records the largest head known was signed over",
            root: Digest = "the root of that head",
            words: Phrase = "how it came about",
        }
        120 F Shop Owner Glances "glances" "Say what a bench looked at; the shop itself says it" {
            life: u32 = "which life",
            since: Moment = "when the first of it was looked at",
            until: Moment = "when the last of it was looked at",
            glances: Vec<Glance> = "what, and how often",
        }
    } };
}
