//! What a part is, where it sits, what class it has, what it looks like, how it is mounted.

use super::words::words;

words!(
    /// What a part is.
    PartKind {
        /// Aluminium electrolytic capacitor.
        Electrolytic = "electrolytic" | "elec" | "lytic" | "electrolytic-capacitor",
        /// Wax, moulded or metal-cased paper capacitor.
        Paper = "paper" | "wax-paper" | "moulded-paper" | "molded-paper" | "metal-cased-paper" | "wax",
        /// Plastic-film capacitor.
        Film = "film" | "poly" | "polyester" | "polypropylene",
        /// Mica or silvered-mica capacitor.
        Mica = "mica" | "silver-mica" | "silvered-mica",
        /// Ceramic capacitor.
        Ceramic = "ceramic" | "disc",
        /// Tantalum capacitor.
        Tantalum = "tantalum",
        /// Mains suppressor of class X or Y.
        Suppressor = "suppressor" | "mains-suppressor",
        /// Motor start or run capacitor.
        MotorRun = "motor-run" | "motor-capacitor" | "motor-start",
        /// Carbon-composition resistor.
        CarbonComposition = "carbon-composition" | "carbon-comp" | "composition",
        /// Carbon-film resistor.
        CarbonFilm = "carbon-film",
        /// Metal-film (or metal-oxide) resistor.
        MetalFilm = "metal-film" | "metal-oxide",
        /// Wirewound resistor.
        Wirewound = "wirewound" | "wire-wound",
        /// Fusible resistor.
        Fusible = "fusible" | "fusible-resistor",
        /// Selenium or silicon rectifier, or a rectifier by type.
        Rectifier = "rectifier",
        /// Valve, valve rectifiers included.
        Valve = "valve" | "tube",
        /// Dial or pilot lamp.
        Lamp = "lamp" | "bulb",
        /// Fuse.
        Fuse = "fuse",
        /// Mains lead.
        Lead = "lead" | "mains-lead" | "line-cord" | "flex",
        /// Valve or lamp holder.
        Socket = "socket" | "valve-holder",
        /// Tag strips, sleeving, clamps and the like.
        Hardware = "hardware",
    }
);

impl PartKind {
    /// Whether it is a capacitor of any kind.
    pub const fn is_capacitor(self) -> bool {
        matches!(
            self,
            Self::Electrolytic
                | Self::Paper
                | Self::Film
                | Self::Mica
                | Self::Ceramic
                | Self::Tantalum
                | Self::Suppressor
                | Self::MotorRun
        )
    }

    /// Whether it is a resistor of any kind.
    pub const fn is_resistor(self) -> bool {
        matches!(self, Self::CarbonComposition | Self::CarbonFilm | Self::MetalFilm | Self::Wirewound | Self::Fusible)
    }

    /// Whether it is known by a designation instead of a value.
    pub const fn is_designated(self) -> bool {
        !self.is_capacitor() && !self.is_resistor()
    }
}

words!(
    /// Where a part sits in the circuit.
    Place {
        /// First capacitor after a rectifier.
        Reservoir = "reservoir" | "first-filter" | "input-filter",
        /// Capacitor after a choke or the first resistor.
        Smoothing = "smoothing" | "filter" | "second-filter",
        /// Later HT capacitor, feeding one stage.
        Decoupling = "decoupling" | "decap" | "supply-bypass",
        /// At a screen grid (capacitor or resistor).
        Screen = "screen",
        /// From an anode to the next grid.
        Coupling = "coupling" | "interstage" | "blocking",
        /// At a cathode (bypass capacitor or bias resistor).
        Cathode = "cathode" | "cathode-bypass" | "bypass",
        /// In a bias supply.
        Bias = "bias",
        /// In a tone or equalisation network.
        Tone = "tone" | "equalisation" | "equalization",
        /// In a tuned circuit.
        Tuned = "tuned" | "tuning",
        /// From an output anode to chassis, HT or the other anode.
        OutputAnode = "output-anode",
        /// From one mains line to chassis.
        LineToChassis = "line-to-chassis" | "line-bypass",
        /// Across the mains.
        LineToLine = "line-to-line" | "across-the-line",
        /// From a touchable socket to a live chassis, earth socket included.
        AerialIsolation = "aerial-isolation" | "antenna-isolation",
        /// At a motor.
        Motor = "motor" | "motor-run" | "motor-start",
        /// Setting a time.
        Timing = "timing",
        /// Anode load.
        Anode = "anode" | "anode-load" | "plate" | "plate-load",
        /// Grid leak.
        GridLeak = "grid-leak",
        /// In series with a supply or heater chain.
        Dropper = "dropper" | "dropping",
        /// In series with a grid or anode against oscillation.
        Stopper = "stopper" | "grid-stopper" | "anode-stopper",
        /// In a feedback path.
        Feedback = "feedback",
        /// Across one capacitor of a series string.
        Balancing = "balancing",
        /// Discharging or loading a supply.
        Bleeder = "bleeder",
    }
);

impl Place {
    /// Whether the place is connected to the mains, so that a class X or Y part is asked for.
    pub const fn is_mains(self) -> bool {
        matches!(self, Self::LineToChassis | Self::LineToLine | Self::AerialIsolation)
    }

    /// Whether it is an HT supply capacitor's place.
    pub const fn is_ht_supply(self) -> bool {
        matches!(self, Self::Reservoir | Self::Smoothing | Self::Decoupling)
    }
}

words!(
    /// Safety class of a capacitor for the mains.
    MainsClass {
        /// Across the line, high pulse.
        X1 = "x1",
        /// Across the line.
        X2 = "x2",
        /// Line to chassis, reinforced.
        Y1 = "y1",
        /// Line to chassis, basic.
        Y2 = "y2",
    }
);

impl MainsClass {
    /// The class as it is marked, `X2`.
    pub const fn mark(self) -> &'static str {
        match self {
            Self::X1 => "X1",
            Self::X2 => "X2",
            Self::Y1 => "Y1",
            Self::Y2 => "Y2",
        }
    }
}

words!(
    /// What is seen on a part.
    Sight {
        /// Looked at, nothing found.
        Ok = "ok" | "clean" | "none-seen",
        /// End or can bulged, domed.
        Bulged = "bulged" | "domed",
        /// Fluid coming out.
        Weeping = "weeping" | "leaking",
        /// Dried electrolyte at the bung.
        Crusted = "crusted" | "bung-out",
        /// Wax run or bubbled.
        WaxRun = "wax-run",
        /// Case cracked or crazed.
        Cracked = "cracked" | "crazed" | "split",
        /// Burnt or browned.
        Burnt = "burnt" | "browned",
        /// Leads or case corroded.
        Corroded = "corroded",
    }
);

words!(
    /// How a part is mounted.
    Style {
        /// A lead at each end.
        Axial = "axial",
        /// Both leads at one end.
        Radial = "radial",
        /// Short pins for a board or clamp.
        SnapIn = "snap-in" | "snapin",
        /// Chassis can with tags.
        Can = "can",
        /// Stud or screw terminals.
        Stud = "stud" | "screw",
        /// Whatever fits.
        Any = "any",
    }
);

words!(
    /// What the technician wants done with a part, over the rules.
    Wish {
        /// Leave it.
        Keep = "keep",
        /// Change it.
        Replace = "replace",
        /// New parts inside the old can or sleeve.
        Restuff = "restuff",
    }
);
