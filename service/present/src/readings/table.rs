//! The one table of everything that can be read.
//!
//! The shop's door, a bench's own answers, the arguments of a command, its help, its place in the screens
//! of help and its `--json` all come from here. A line is: the group of its command (`""` for one that
//! other commands ask, and nobody by itself), who may read it, whether it can be read as of another moment,
//! its name in code, its messages, its name at the prompt, what it tells, and its fields. Each has a field
//! in both oneofs of `readings.proto`.

/// Hands the whole table of readings to a macro of the caller.
#[macro_export]
macro_rules! with_readings {
    ($cb:ident) => { $cb! {
        // ---- pots
        "pots" Anybody Now Next NextRequest NextResponse
            "next" "Put the next potful of a place together, or say what to thaw for tomorrow" {
            place: Name = "a pot, tub, tank or rack",
        }
        "" Anybody Now TakeOut TakeOutRequest TakeOutResponse
            "take-out" "Say what to take out of the freezer" {
            potfuls: Option<u32> = "how many potfuls each pot makes in the day, up to 6 [default: 1]",
        }
        "pots" Anybody Now LockUp LockUpRequest LockUpResponse
            "lock-up" "Say what is still lit, in hot water, in peroxide or loose before you go" {}
        // ---- parts
        "parts" Anybody Now Photos PhotosRequest PhotosResponse
            "photos" "List the photos of a job, or fetch them" {
            skull: Skull = "a tag or a job number",
        }
        // ---- finish
        "finish" Anybody Now Compare CompareRequest CompareResponse
            "compare" "Compare a skull at intake and after work, or two jobs, or two moments" {
            skull: Skull = "a tag or a job number",
        }
        "" Anybody Now Sides SidesRequest SidesResponse
            "sides" "Lay two jobs, or two moments, beside each other" {
            one: Side = "one side",
            other: Side = "the other side",
        }
        // ---- tags
        "tags" Anybody Now Strays StraysRequest StraysResponse
            "strays" "List the things without a tag, with whose they can be" {
            all: bool = "those whose owner was told as well",
        }
        "" Anybody Now CheckRoll CheckRollRequest CheckRollResponse
            "check-roll" "Hold tags that were read at a place against what is booked there" {
            place: Name = "the place",
            tags: Vec<Tag> = "every tag that was read there",
        }
        // ---- counter
        "counter" Anybody Now ReadyBy ReadyByRequest ReadyByResponse
            "ready-by" "Say by when a job is ready, by what the shop's own jobs took" {
            skull: Skull = "a tag or a job number",
            share: Option<Decimal> = "for how many of 100 like it, 50 to 95 [default: the shop's, else 80]",
        }
        "counter" Anybody Now Collect CollectRequest CollectResponse
            "collect" "Show what to see to before a skull leaves" {
            skull: Skull = "a tag or a job number",
        }
        // ---- desk
        "desk" Anybody Now Calls CallsRequest CallsResponse
            "calls" "List whom to call and why, the most urgent first" {}
        "till" Counter Now Takings TakingsRequest TakingsResponse
            "takings" "Sum what was taken in a day or a month, by means, and what is held and earned" {
            span: Option<Stretch> = "how long [default: day]",
            on: Option<Days> = "which one: 2026-11-14, or 2026-11 for a month [default: today's]",
        }
        "till" Counter Now Till TillRequest TillResponse
            "till" "Show the till of a day: expected, counted, over and short" {
            on: Option<Day> = "which day, such as 2026-11-14 [default: today]",
        }
        "till" Counter Now Profit ProfitRequest ProfitResponse
            "profit" "Say what was left over, a head, a week and an hour" {
            on: Option<Days> = "which: 2026-11, or 2026-09-01..2027-02-28 [default: this month]",
        }
        "desk" Counter Now TaxReturn TaxReturnRequest TaxReturnResponse
            "tax-return" "Sum what was sold and its tax in a month or some days, by rate, for the return" {
            on: Option<Days> = "which days: 2026-11, or 2026-10-01..2026-12-31 [default: this month]",
        }
        "desk" Anybody Now Register RegisterRequest RegisterResponse
            "register" "Print the register: every head in the order in which it came in" {
            from: Option<Day> = "the first day, such as 2026-11-01",
            to: Option<Day> = "the last day, counted in",
            gaps: bool = "only what is missing, with the line to type",
        }
        "desk" Anybody Now Ends EndsRequest EndsResponse
            "ends" "List how jobs ended other than by hand-over, and what was left behind" {
            from: Option<Day> = "the first day, such as 2026-11-01",
            to: Option<Day> = "the last day, counted in",
        }
        "till" Counter Now Sales SalesRequest SalesResponse
            "sales" "List the skulls of its own that the shop sold, and those that are here" {
            from: Option<Day> = "the first day, such as 2026-11-01",
            to: Option<Day> = "the last day, counted in",
        }
        "desk" Anybody Now Dates DatesRequest DatesResponse
            "dates" "List the dates and papers that the law sets for a job, or say to ask" {
            skull: Skull = "a tag or a job number",
        }
        // ---- look-up
        "look-up" Anybody AnyMoment Floor FloorRequest FloorResponse
            "floor" "Show every place and what is in it" {
            place: Option<Name> = "one place alone",
        }
        "look-up" Anybody Now Find FindRequest FindResponse
            "find" "Find jobs and customers by words" {
            words: Phrase = "all of them must be found",
        }
        "look-up" Anybody AnyMoment Show ShowRequest ShowResponse
            "show" "Show all that is known of a job" {
            skull: Skull = "a tag or a job number",
        }
        "look-up" Anybody AnyMoment Trail TrailRequest TrailResponse
            "trail" "Show everything that was said of a job, in order of happening" {
            skull: Skull = "a tag or a job number",
        }
        "look-up" Anybody Now Due DueRequest DueResponse
            "due" "List what is due" {
            within: Option<Span> = "how far to look ahead: 90min, 8h, 2d [default: 1d]",
        }
        "look-up" Anybody Now Clashes ClashesRequest ClashesResponse
            "clashes" "List what does not fit" {}
        "look-up" Anybody Now Stock StockRequest StockResponse
            "stock" "List what is in stock, and what the waters cost" {}
        "look-up" Anybody Now Recipes RecipesRequest RecipesResponse
            "recipes" "List the recipes, version by version, and the waters by each" {
            recipe: Option<Name> = "one recipe alone",
        }
        "ways" Anybody Now Ways WaysRequest WaysResponse
            "ways" "List the steps and ways by which the shop cleans, its own first" {
            way: Option<Name> = "one way alone, with its steps",
        }
        "ways" Anybody Now Animals AnimalsRequest AnimalsResponse
            "animals" "List the animals that the shop knows, or all that is known of one" {
            species: Option<Name> = "one animal alone",
        }
        "look-up" Anybody Now Load LoadRequest LoadResponse
            "load" "Say which place is full when, at next year's number of skulls" {
            times: Option<Decimal> = "how many times last year's skulls are expected [default: 1]",
        }
        "look-up" Anybody Now Rates RatesRequest RatesResponse
            "rates" "Say how often something goes wrong, by step and kind of animal" {}
        "look-up" Anybody Now Degreased DegreasedRequest DegreasedResponse
            "degreased" "List how long degreasing took, and how warm the water was" {
            kind: Option<Group> = "one kind of animal alone, such as bear [default: all]",
        }
        "look-up" Anybody Now Tally TallyRequest TallyResponse
            "tally" "Count the past by a word of the trail, with limits" {
            what: What = "what is counted",
            by: Option<By> = "by what [default: all together]",
            season: Option<u32> = "only heads of the season that began in this year [default: all]",
        }
        "" Anybody Now Words WordsRequest WordsResponse
            "words" "Give the words that lines are read by" {}
        // ---- wrong
        "wrong" Anybody Now Refused RefusedRequest RefusedResponse
            "refused" "List what was left off after a question, and what was refused" {
            days: Option<Days> = "which days [default: today]",
            at_bench: Option<Name> = "at the bench of this name",
            rule: Option<Name> = "where this rule objected",
        }
        // ---- shop
        "shop" Anybody Now Rules RulesRequest RulesResponse
            "rules" "Tell how often each stage rule was answered \"anyway\"" {
            since: Option<Day> = "from this day on [default: all of it]",
        }
        "look-up" Anybody Now Shadow ShadowRequest ShadowResponse
            "shadow" "Tell what rules that are only shadowed would have said" {
            rule: Option<Name> = "one rule alone",
        }
        "look-up" Anybody Now Tables TablesRequest TablesResponse
            "tables" "List the tables of the shop's own, which its scripts read" {
            table: Option<Name> = "one table alone",
        }
        "proof" Owner Now WhoLooked WhoLookedRequest WhoLookedResponse
            "who-looked" "List who looked at details, photos as taken, packets, exports" {
            days: Option<Days> = "which days [default: today]",
            at_bench: Option<Name> = "the bench of this name",
            skull: Option<Skull> = "of this job, its ticket or its customer",
        }
        "" Anybody Now Scripts ScriptsRequest ScriptsResponse
            "scripts" "List the scripts, and what was decided about them" {}
    } };
}
