//! Kinds of things that stand in a shop and in a kitchen, by what they do to one another.

/// What a thing is, or holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// Hydrogen peroxide.
    Peroxide,
    /// Percarbonate: soda that gives off peroxide.
    Percarbonate,
    /// Persulfate, in powders that lighten hair.
    Persulfate,
    /// Hardener of polyester resin and filler: an organic peroxide.
    Hardener,
    /// A can that sprays by itself, whatever is in it.
    Aerosol,
    /// Black powder, smokeless powder, primers, cartridges.
    Explosive,
    /// Bleach: hypochlorite in water.
    Bleach,
    /// Dry pool chlorine: calcium hypochlorite, dichlor, trichlor.
    PoolChlorine,
    /// Ammonia in water.
    Ammonia,
    /// Ammonium salts, fertilizer.
    Ammonium,
    /// Urine, and water in which flesh rotted: they hold ammonia.
    Urine,
    /// Vinegar, citric, oxalic and other weak acids.
    WeakAcid,
    /// Strong acetic, formic and oxalic acid, for what they do beyond any weak acid.
    SharpAcid,
    /// Muriatic, phosphoric, sulfamic acid and their salts.
    StrongAcid,
    /// Muriatic and nitric acid, for what they do beyond any strong acid.
    Fuming,
    /// Nitric acid, for what it does beyond any strong acid.
    Nitric,
    /// Sulfuric acid.
    Sulfuric,
    /// Hydrofluoric acid and bifluorides.
    Fluoride,
    /// Acetone and other ketones.
    Ketone,
    /// Alcohols.
    Alcohol,
    /// Glycerine, glycol.
    Glycerine,
    /// Charcoal: it smolders.
    Charcoal,
    /// Petrol, thinner, turpentine and other solvents that burn.
    Solvent,
    /// Propane, butane and other gas that is burned.
    FuelGas,
    /// An engine that runs.
    Engine,
    /// Chlorinated solvents.
    Chlorinated,
    /// Formaldehyde in water.
    Formalin,
    /// Washing soda and other alkaline cleaning salts.
    Soda,
    /// Baking soda.
    Bicarbonate,
    /// Lye: sodium or potassium hydroxide.
    Lye,
    /// Borax.
    Borax,
    /// Quicklime.
    Lime,
    /// Slaked lime, cement, mortar: alkaline, and no longer quick.
    Slaked,
    /// Chalk, magnesia: powders of whitening pastes.
    Chalk,
    /// Potassium permanganate.
    Permanganate,
    /// Manganese dioxide.
    Manganese,
    /// Iodine.
    Iodine,
    /// Sulfites.
    Sulfite,
    /// Sulfides.
    Sulfide,
    /// Phosphide bait and fumigant.
    Phosphide,
    /// Enzymes, yeast.
    Enzyme,
    /// Blood, flesh, raw tissue.
    Tissue,
    /// Fat, food oil, wax.
    Grease,
    /// Iron, plain steel, rust.
    Iron,
    /// Copper, brass, bronze.
    Copper,
    /// Zinc and galvanized metal.
    Zinc,
    /// Aluminum.
    Aluminum,
    /// Stainless steel.
    Stainless,
    /// Lead, tin, silver, chrome, nickel, or a metal that was not named.
    Metal,
    /// Lead, for its fume and dust.
    Lead,
    /// Powder, dust and shavings of aluminum, magnesium and zinc.
    MetalDust,
    /// A battery.
    Battery,
    /// Wood, rags, paper, leather: what soaks up and burns.
    Tinder,
    /// Dust of flour, wood and the like.
    Dust,
    /// Linseed and other oils that dry.
    DryingOil,
    /// Lacquer, varnish, sealer, paint.
    Lacquer,
    /// Acrylic and other coats in water.
    WaterCoat,
    /// Epoxy: its resin, and its hardener, an amine.
    Epoxy,
    /// Cyanoacrylate glue.
    SuperGlue,
    /// Soap, dish and laundry detergent.
    Soap,
    /// Quaternary ammonium disinfectants.
    Quat,
    /// Water.
    Water,
    /// Dry ice, liquid nitrogen.
    DryIce,
    /// Plastic.
    Plastic,
    /// Glass, glazed ware.
    Glass,
    /// Sound enamel on iron.
    Enamel,
    /// Clean bone.
    Bone,
    /// Antler, horn.
    Antler,
    /// Plaster.
    Plaster,
    /// Table salt.
    Salt,
    /// Sugar, flour, food.
    Food,
    /// Dyes, stains, tea, coffee.
    Dye,
    /// Heat.
    Heat,
    /// A flame, a spark.
    Flame,
    /// A closed lid.
    Closed,
    /// A room, a tent or a car that is closed.
    Room,
    /// Skin, eyes, hands.
    Skin,
    /// Sunlight.
    Light,
}

impl Kind {
    /// What it is called where it is told what a product holds.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Peroxide => "peroxide",
            Self::Percarbonate => "percarbonate",
            Self::Persulfate => "persulfate",
            Self::Hardener => "an organic peroxide",
            Self::Aerosol => "an aerosol can",
            Self::Explosive => "an explosive",
            Self::Bleach => "bleach",
            Self::PoolChlorine => "dry chlorine",
            Self::Ammonia => "ammonia",
            Self::Ammonium => "an ammonium salt",
            Self::Urine => "ammonia from rot or urine",
            Self::WeakAcid => "a weak acid",
            Self::SharpAcid => "a sharp organic acid",
            Self::StrongAcid => "a strong acid",
            Self::Fuming => "a fuming acid",
            Self::Nitric => "nitric acid",
            Self::Sulfuric => "sulfuric acid",
            Self::Fluoride => "a fluoride",
            Self::Ketone => "acetone or the like",
            Self::Alcohol => "alcohol",
            Self::Glycerine => "glycerine or glycol",
            Self::Charcoal => "charcoal",
            Self::Solvent => "a solvent that burns",
            Self::FuelGas => "fuel gas",
            Self::Engine => "an engine",
            Self::Chlorinated => "a chlorinated solvent",
            Self::Formalin => "formaldehyde",
            Self::Soda => "soda",
            Self::Bicarbonate => "baking soda",
            Self::Lye => "lye",
            Self::Borax => "borax",
            Self::Lime => "quicklime",
            Self::Slaked => "slaked lime or cement",
            Self::Chalk => "chalk or magnesia",
            Self::Permanganate => "permanganate",
            Self::Manganese => "manganese dioxide",
            Self::Iodine => "iodine",
            Self::Sulfite => "a sulfite",
            Self::Sulfide => "a sulfide",
            Self::Phosphide => "a phosphide",
            Self::Enzyme => "enzymes",
            Self::Tissue => "blood or tissue",
            Self::Grease => "grease",
            Self::Iron => "iron",
            Self::Copper => "copper",
            Self::Zinc => "zinc",
            Self::Aluminum => "aluminum",
            Self::Stainless => "stainless steel",
            Self::Metal => "metal",
            Self::Lead => "lead",
            Self::MetalDust => "metal dust",
            Self::Battery => "a battery",
            Self::Tinder => "wood, cloth or paper",
            Self::Dust => "dust that burns",
            Self::DryingOil => "an oil that dries",
            Self::Lacquer => "lacquer or paint",
            Self::WaterCoat => "a water-based coat",
            Self::Epoxy => "epoxy",
            Self::SuperGlue => "super glue",
            Self::Soap => "soap",
            Self::Quat => "a \u{201c}quat\u{201d} disinfectant",
            Self::Water => "water",
            Self::DryIce => "dry ice",
            Self::Plastic => "plastic",
            Self::Glass => "glass",
            Self::Enamel => "enamel",
            Self::Bone => "bone",
            Self::Antler => "antler or horn",
            Self::Plaster => "plaster",
            Self::Salt => "salt",
            Self::Food => "sugar or food",
            Self::Dye => "dye",
            Self::Heat => "heat",
            Self::Flame => "flame",
            Self::Closed => "a closed lid",
            Self::Room => "a closed room",
            Self::Skin => "skin",
            Self::Light => "sunlight",
        }
    }

    /// What an object is made of: a cleaner named after it does not hold it.
    pub const fn is_material(self) -> bool {
        matches!(
            self,
            Self::Iron
                | Self::Copper
                | Self::Zinc
                | Self::Aluminum
                | Self::Stainless
                | Self::Metal
                | Self::Tinder
                | Self::Plastic
                | Self::Glass
                | Self::Enamel
                | Self::Bone
                | Self::Antler
                | Self::Tissue
                | Self::Grease
                | Self::Skin
                | Self::Food
                | Self::Water
                | Self::Lacquer
                | Self::Dye
                | Self::Salt
                | Self::Urine
        )
    }

    /// How things are, rather than a thing: it makes no mix by itself.
    pub const fn is_circumstance(self) -> bool {
        matches!(
            self,
            Self::Heat | Self::Flame | Self::Closed | Self::Room | Self::Light | Self::Skin
        )
    }

    /// What reacts with hardly anything: nothing known against it is a fair answer.
    pub const fn is_bland(self) -> bool {
        // A fuming acid is a strong acid besides, and a sharp one a weak acid; what is known of those is told.
        matches!(
            self,
            Self::Water
                | Self::Plastic
                | Self::Glass
                | Self::Enamel
                | Self::Fuming
                | Self::SharpAcid
                | Self::Lead
        )
    }

    /// What is no chemical: food, bone, metal, cloth. Two of these do nothing to one another that a row
    /// would not tell.
    pub const fn is_quiet(self) -> bool {
        self.is_material()
            || matches!(
                self,
                Self::Soap
                    | Self::Chalk
                    | Self::Plaster
                    | Self::DryingOil
                    | Self::WaterCoat
                    | Self::Charcoal
                    | Self::Battery
                    | Self::Aerosol
                    | Self::Engine
                    | Self::Dust
            )
    }
}
