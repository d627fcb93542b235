//! What a job says of itself to the digest: everything that is kept.

use burrline_terms::canon::{Canon, Canonical};

use super::{Damage, Job, Look, Part, Pause, Quoted};

impl Canonical for Job {
    fn canon(&self, out: &mut Canon) {
        let Self {
            facts,
            worn,
            id,
            take_in,
            taken_in,
            papers,
            second_look,
            wrapped,
            brain_out,
            greasy,
            shot,
            look,
            stays,
            parts,
            damages,
            hands,
            inspected_by,
            masses,
            quoted,
            agreed,
            assents,
            charges,
            promise,
            hold,
            pauses,
            disputed,
            way,
            plan,
            ended,
            last,
            clashes,
        } = self;
        for flag in [second_look, wrapped, brain_out, greasy, agreed, disputed] {
            out.add(flag);
        }
        out.add(facts);
        out.add(worn);
        out.add(id);
        out.add(take_in);
        out.add(taken_in);
        out.add(papers);
        out.add(&papers.as_ref().map(|papers| &papers.details));
        out.add(shot);
        out.add(look);
        out.add(stays);
        out.add(parts);
        out.add(damages);
        out.add(hands);
        out.add(inspected_by);
        out.add(masses);
        out.add(quoted);
        // A job that knows of none has the digest that it had before there were any.
        if !assents.is_empty() {
            out.add(assents);
        }
        out.add(charges);
        out.add(promise);
        out.add(hold);
        out.add(pauses);
        // A job of which nobody said it has the digest that it had before it could be said.
        if way.is_some() {
            out.add(way);
        }
        out.add(plan);
        out.add(ended);
        out.add(&last.map(|(word, when)| (word.to_owned(), when)));
        out.add(clashes);
    }
}

impl Canonical for Look {
    fn canon(&self, out: &mut Canon) {
        let Self { happened, tissue, seams, teeth } = self;
        out.add(happened);
        out.add(tissue);
        out.add(&(seams, teeth));
    }
}

impl Canonical for Part {
    fn canon(&self, out: &mut Canon) {
        let Self { mark, home } = self;
        out.add(mark);
        out.add(home);
    }
}

impl Canonical for Damage {
    fn canon(&self, out: &mut Canon) {
        let Self { entry, piece, what, whose } = self;
        out.add(entry);
        out.add(piece);
        out.add(what);
        out.add(whose);
    }
}

impl Canonical for Quoted {
    fn canon(&self, out: &mut Canon) {
        let Self { entry, lines, total, script } = self;
        out.add(entry);
        out.add(lines);
        out.add(total);
        out.add(script);
    }
}

impl Canonical for Pause {
    fn canon(&self, out: &mut Canon) {
        let Self { why, from, until } = self;
        out.add(why);
        out.add(from);
        out.add(until);
    }
}
