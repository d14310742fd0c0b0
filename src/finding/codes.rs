//! Every code of a finding, with its severity and what it protects from. Codes are never reused.

use super::Severity;

/// A documented code.
#[derive(Clone, Copy, Debug)]
pub struct Code {
    /// Letter of the room and three digits.
    pub code: &'static str,
    /// What it asks of a person.
    pub severity: Severity,
    /// One line that says what the code is about.
    pub about: &'static str,
}

macro_rules! codes { ($($name:ident, $code:literal, $severity:ident, $about:literal;)*) => {
    $(#[doc = $about] pub const $name: Code = Code { code: $code, severity: Severity::$severity, about: $about };)*
    /// All codes, in order.
    pub const CODES: &[Code] = &[$($name),*];
}; }

// Each room adds its own block; keep the blocks in the order of the rooms and the numbers ascending.
codes! {
    // I: intake
    I101_NUMBER, "I101", Error, "a cell that should hold a number does not";
    I102_BOUNDS, "I102", Error, "a number out of the bounds of its column";
    I103_WHOLE, "I103", Error, "a count that is no whole number";
    I104_YES_NO, "I104", Error, "a cell that should hold yes or no does not";
    I105_CHOICE, "I105", Error, "a word that is not one of those that the column knows";
    I106_DATE, "I106", Error, "a date where none is meant, as spreadsheets make of 9-13";
    I107_ERROR_CELL, "I107", Error, "a cell that holds an error";
    I108_FORMULA, "I108", Error, "a formula without a stored result";
    I109_FORMULA_ZERO, "I109", Warning, "a formula whose stored result is 0, as for one that was never calculated";
    I110_CHARACTERS, "I110", Error, "control, invisible or direction-changing characters in a cell";
    I111_LENGTH, "I111", Error, "a cell that is longer than any entry of a schedule";
    I112_TAG_MISSING, "I112", Error, "a row without a tag";
    I113_TAG_TWICE, "I113", Error, "a tag that stands twice";
    I114_TAG_RANGE, "I114", Error, "a range of tags that can't be expanded";
    I115_TAG_LIST, "I115", Warning, "a tag that looks like a list but was read as one";
    I116_SUPPLY, "I116", Error, "a supply that is not voltage/phases/frequency";
    I117_SUPPLY_CONTRADICTS, "I117", Error, "a supply that contradicts the row's own voltage, phases or frequency";
    I118_TO_BE_CONFIRMED, "I118", Error, "a value that is still to be confirmed";
    I119_ERROR_IN_REMARK, "I119", Warning, "an error in a cell that only carries remarks";
    I201_HEADING_UNKNOWN, "I201", Note, "a column that is carried through but not read";
    I202_HEADING_TWICE, "I202", Error, "two columns with one meaning";
    I203_CELLS_DIFFER, "I203", Error, "two cells of one meaning that differ";
    I204_EXTRA_CELLS, "I204", Error, "a row with more cells than headings, so that cells may stand in the wrong column";
    I205_PLACEHOLDER, "I205", Note, "placeholders that were read as not given";
    I206_QUOTE, "I206", Error, "a quotation mark that swallows further rows";
    I301_ENCODING, "I301", Note, "a text that was read as Windows-1252";
    I302_DECIMAL_COMMA, "I302", Note, "decimal commas in the whole file";
    I303_UNDEFINED_BYTE, "I303", Error, "a byte that is no character of the file's encoding";
    I304_ENDING, "I304", Note, "a file that is of another kind than its name says";
    I401_DECIMAL_COMMA, "I401", Note, "texts whose comma was read as the decimal mark";
    I402_UNIT_CONVERTED, "I402", Note, "a unit that was converted";
    I403_THOUSANDS, "I403", Note, "a mark between thousands that was left out";
    I404_NUMBER_AS_TEXT, "I404", Note, "numbers that a workbook holds as text";
    I405_PERCENT, "I405", Note, "figures that were read as per cent";
    I406_MERGED_VALUE, "I406", Note, "a value taken from merged cells";
    I407_DITTO, "I407", Note, "a ditto mark that repeats the value above";
    I408_HIDDEN_ROW, "I408", Note, "a hidden row that was read";
    I409_HIDDEN_COLUMN, "I409", Note, "a hidden column that was read";
    I410_SHEET_NOT_READ, "I410", Note, "a sheet that was not read";
    I411_COLUMN_KEPT, "I411", Note, "a column that is carried through and says nothing for sizing";
    I412_DELETED_ROW, "I412", Note, "a row that is struck out or marked as deleted";
    I413_STRUCK_TEXT, "I413", Warning, "struck-out text that was left out of a value";
    I414_SUBTOTAL, "I414", Note, "a row of a sum, which is no load";
    I415_FOOTNOTE_MARK, "I415", Note, "a footnote mark that was left out of a tag";
    I416_TAGS_EXPANDED, "I416", Note, "a tag that stands for several machines";
    I417_QUANTITY_FROM_TAGS, "I417", Note, "a quantity taken from the number of tags";
    I418_UNDECIDED, "I418", Warning, "a value that sizing needs and that is still open";
    I419_POWERS_DIFFER, "I419", Warning, "two powers of one motor that do not agree";
    I420_SEVERAL_VOLTAGES, "I420", Warning, "several voltages of which none is chosen";
    I421_AMBIGUOUS_NUMBER, "I421", Error, "a number that reads two ways";
    I422_METHOD_UNKNOWN, "I422", Error, "a starting method that is not understood";
    I423_METHODS_CONFLICT, "I423", Error, "starting methods, or a method and a supply, that contradict each other";
    I424_NO_POWER, "I424", Error, "a load without power and current";
    I425_QUANTITY_DIFFERS, "I425", Error, "a quantity that disagrees with the tags or with the counts of duty and standby";
    I426_UNIT_ASSUMED, "I426", Note, "a column of power whose unit nobody states";
    I427_UNIT_CONTRADICTS, "I427", Error, "a unit that contradicts the heading";
    I428_MERGED_ACROSS, "I428", Warning, "a value merged across columns of different meaning, which was read for the first of them only";
    I429_REMARK_DELETED, "I429", Warning, "a row whose remark says that the load is gone";
    I430_LOADS_NOT_READ, "I430", Warning, "rows that seem to hold loads and were not read, because no headings stand above them";
    I431_TABLE_NOT_READ, "I431", Error, "a further table whose headings name no tags or no power, so that none of its rows is read";
    I432_REMARK_SHORTENED, "I432", Note, "a remark too long for the other outputs, which stands whole in the workbook only";
    I501_OWN_WORKBOOK, "I501", Note, "a workbook that this program wrote: its results are left aside and worked out anew";
    I502_RESULT_EDITED, "I502", Warning, "a result that somebody edited; it is never applied";
    I503_RESULT_UNKNOWN, "I503", Warning, "results of this program that can no longer be told from the sender's columns";
    I504_SEAL_GONE, "I504", Error, "a workbook of this program whose results can't be told from what was sent";
    // F: basis
    F101_KEY_UNKNOWN, "F101", Warning, "a key of the basis that is not known and not used";
    // L: load and case
    L101_QUANTITY, "L101", Warning, "a quantity that disagrees with the number of tags";
    L301_METHOD_FOR_KIND, "L301", Note, "a starting method that is not for this kind of load";
    L302_METHOD_NEEDS_MOTOR, "L302", Error, "a motor's starting method on a load that is no motor";
    L303_NO_METHOD, "L303", Error, "a motor without a starting method";
    L304_NO_VOLTAGE, "L304", Error, "a row whose voltage nobody states";
    L305_ABOVE_1_KV, "L305", Error, "a voltage that the rule book does not cover";
    L306_PHASES, "L306", Warning, "a number of phases that may be meant otherwise";
    L307_KW_AGAINST_HP, "L307", Warning, "kW and hp of one motor that contradict each other";
    L308_NO_CURRENT, "L308", Error, "a row that gives no way to know its current";
    L309_SINGLE_PHASE_METHOD, "L309", Error, "a three-phase starting method on a single-phase load";
    L310_NO_POWER, "L310", Note, "a nameplate current that no power confirms";
    L311_LENGTHS, "L311", Warning, "metres and feet of one run that contradict each other";
    L312_METRIC_LENGTH, "L312", Note, "a length in metres on a project that reckons in feet";
    L313_VOLTAGE_AGAINST_BOARD, "L313", Warning, "a voltage that is not that of the board";
    L320_ASSUMED, "L320", Note, "values that were assumed for one row";
    L321_EFFICIENCY_BELOW_CLASS, "L321", Warning, "an efficiency below what its class demands";
    L322_EFFICIENCY_TOO_HIGH, "L322", Warning, "an efficiency better than any motor's of that output";
    L323_POWER_FACTOR_ONE, "L323", Warning, "a power factor that no induction motor on the line has";
    L324_NAMEPLATE_FAR_OFF, "L324", Warning, "a nameplate current far off the full-load current of the table";
    L325_LENGTH_UNIT, "L325", Warning, "a length that is far too long for its unit";
    L326_STARTS_AGAINST_DUTY, "L326", Warning, "starts an hour that contradict the duty";
    L331_BOARD_UNKNOWN, "L331", Warning, "a board that the basis does not name";
    L332_FEEDER_LOOP, "L332", Error, "boards that feed each other in a ring";
    L401_FIRE_PUMP, "L401", Error, "a fire pump, which ordinary protection would stop in a fire";
    L402_SPECIAL_SERVICE, "L402", Warning, "a service with rules of its own";
    L403_SERVICE_ASKED, "L403", Warning, "a description that suggests a service with rules of its own";
    L404_IT_SYSTEM, "L404", Warning, "an IT system, or one that is not solidly grounded, whose faults are not worked out";
    L405_EXPLOSIVE, "L405", Warning, "an explosive atmosphere, for which certificates are needed";
    L406_IDLE_VALUE, "L406", Warning, "a value that would change the circuit, but is not used yet";
    L407_IDLE_NAMES, "L407", Note, "columns or keys that are kept, but not used yet";
    L408_SAFETY_LEVEL, "L408", Warning, "a safety function whose level is not established";
    L409_PROTECTION_KIND, "L409", Warning, "a kind of protective device that is not known";
    L420_CONTROL_VOLTAGE, "L420", Warning, "a control voltage that can't be read";
    // R: rules
    R101_NAMEPLATE_DIFFERS, "R101", Note, "a nameplate current that differs from the computed one";
    R102_NAMEPLATE_OFF_TABLE, "R102", Warning, "a nameplate current far off the guide table";
    R103_TABLE_FROM_MEMORY, "R103", Note, "a result that leans on a table recalled and not confirmed";
    R105_FROM_MEMORY, "R105", Note, "results that lean on tables recalled and not confirmed";
    R104_COMPUTED, "R104", Note, "a current that was computed because no nameplate gives it";
    R106_NAMEPLATE_OFF_COMPUTED, "R106", Warning, "a nameplate current far off the computed one, where no guide value stands";
    R201_KILOWATTS, "R201", Note, "horsepower worked out from kilowatts";
    R202_INTERPOLATED, "R202", Note, "a horsepower between two rows of the table of full-load currents";
    R203_NAMEPLATE_ABOVE_TABLE, "R203", Warning, "a nameplate current above the full-load current of the table";
    R204_NO_TABLE_CURRENT, "R204", Error, "a motor without a full-load current in the tables and without a nameplate current";
    R205_MAXIMUM_BELOW_AMPACITY, "R205", Error, "a marked maximum protection below the marked circuit ampacity";
    R206_MAXIMUM_MISSING, "R206", Warning, "packaged equipment without its marked maximum protection";
    R207_NAMEPLATE_COUNTS, "R207", Note, "a motor whose nameplate current counts for everything";
    R208_LOW_SPEED_TABLE, "R208", Warning, "a current at low speed taken from the table for usual speeds";
    R209_HORSEPOWER_FROM_CURRENT, "R209", Note, "horsepower read from the nameplate current";
    R210_NAMEPLATE_MISSING, "R210", Warning, "a missing nameplate current that the clause asks for";
    R211_VOLTAGE_BAND, "R211", Note, "a voltage that is read by the band of a column";
    R212_DUTY_RATING, "R212", Note, "a duty other than continuous without the motor's time rating";
    R213_DEVICE_BELOW_AMPACITY, "R213", Warning, "no standard rating between the marked circuit ampacity and the marked maximum";
    R214_OVERLOAD_BY_TABLE, "R214", Note, "an overload setting without the nameplate current by which it must go";
    R215_CODE_LETTER_OPEN, "R215", Warning, "a code letter without an upper end of the locked-rotor current";
    // K: catalogue
    K101_FILE, "K101", Error, "a file of the catalogue is missing or can't be read";
    K102_HEADING, "K102", Error, "a file of the catalogue lacks a heading";
    K103_HEADING, "K103", Error, "a file of the catalogue has a heading that is unknown or stands twice";
    K104_CELL, "K104", Error, "a cell of the catalogue does not hold what its heading says";
    K105_RATING, "K105", Error, "a rating in the catalogue is negative, zero or without end";
    K106_RANGE, "K106", Error, "a range in the catalogue is upside down or open";
    K107_KIND, "K107", Error, "a word in the catalogue is not one of those that are known";
    K108_TWICE, "K108", Error, "a part number stands twice in the catalogue";
    K109_CELLS, "K109", Error, "a row of the catalogue has too few or too many cells";
    K201_GAP, "K201", Warning, "setting ranges in the catalogue leave a gap";
    K202_UNKNOWN_PART, "K202", Warning, "a combination names a part that is not in the catalogue";
    K203_FITS_NOTHING, "K203", Warning, "an accessory or relay fits no frame of the catalogue";
    K204_ORDER, "K204", Warning, "ratings of one part in the catalogue contradict each other";
    K205_NO_BASE, "K205", Warning, "a fuse in the catalogue has no base or switch";
    K206_FRAME_LACKS, "K206", Warning, "a frame of the catalogue lacks a part that its circuits need";
    K207_TWO_FAMILIES, "K207", Warning, "a part number stands in two families of the catalogue";
    K211_PRICE_UNKNOWN_PART, "K211", Warning, "a price of a part that is not in the catalogue";
    K212_NO_GLAND, "K212", Warning, "a cable in the catalogue that no gland holds";
    K901_DEMONSTRATION, "K901", Note, "the built-in invented range is in use";
    // C: circuit
    C101_CHECK_FAILED, "C101", Warning, "a limit that is not kept";
    C201_NO_PROTECTION, "C201", Warning, "no protective device in the catalogue holds";
    C202_NO_COORDINATION, "C202", Warning, "a co-ordination type that no tested combination gives";
    C203_NO_CONTACTOR, "C203", Warning, "no contactor in the catalogue holds";
    C204_NO_RELAY, "C204", Warning, "no overload relay in the catalogue holds";
    C205_MAKER_DESIGN, "C205", Warning, "a device that its maker designs for the motor";
    C206_NO_DEVICE, "C206", Warning, "no soft starter or drive in the catalogue holds";
    C207_OTHER_KIND, "C207", Warning, "another kind of protective device than the wanted one";
    C208_INRUSH_PEAK, "C208", Warning, "a magnetic release that may trip on the first half-cycle";
    C209_OTHER_KIND_NOTE, "C209", Note, "another kind of protective device than the basis names for motors";
    C210_BEYOND_FIRST_PLACE, "C210", Warning, "a protective device larger than the first place admits, because the motor would not start";
    C211_DRIVE_INPUT, "C211", Warning, "an input current of the row below that of the chosen drive";
    C212_CONTACT_LIFE, "C212", Note, "how long the contacts last";
    C213_SHORT_LIFE, "C213", Warning, "contacts that are worn within a year";
    C214_UNDAMPED, "C214", Warning, "a capacitor step switched without damping of its inrush";
    C215_DISCHARGE, "C215", Note, "a capacitor that must discharge before it is switched in again";
    C301_WINDING_VOLTAGE, "C301", Warning, "a winding made for another voltage";
    C302_WINDING_UNKNOWN, "C302", Warning, "a winding that must suit delta at line voltage, but is not known";
    C303_WRONG_WINDING, "C303", Error, "a winding that delta at line voltage would burn";
    C304_LEADS, "C304", Error, "a motor that brings out too few leads for its starting method";
    C305_TORQUE, "C305", Warning, "a start that may leave the load standing";
    C306_IE5_DIRECT, "C306", Warning, "a motor made for drives that is started on the line";
    C307_DIRECT_LIMIT, "C307", Warning, "a direct start above the basis' limit";
    C308_TWO_SPEED_KIND, "C308", Warning, "a two-speed motor whose kind is unknown";
    C309_LOW_SPEED_CURRENT, "C309", Warning, "a low speed whose current is not known";
    C310_ROTOR_DATA, "C310", Warning, "a rotor circuit whose data are missing";
    C311_ROTOR_STEPS, "C311", Note, "a number of rotor steps that was assumed";
    C312_BRAKING, "C312", Warning, "electrical braking without a stated share of operations";
    C313_AUTOMATIC_RESET, "C313", Warning, "a motor that restarts by itself";
    C314_DIP, "C314", Warning, "a direct start that dips the board's voltage too far";
    C315_DIP_UNKNOWN, "C315", Warning, "a limit on the dip that cannot be checked";
    C401_COIL_VOLTAGE, "C401", Warning, "a coil voltage that the catalogue does not have";
    C402_NO_DC_COIL, "C402", Warning, "a contactor without a coil for direct current";
    C403_INTERPOSING_RELAY, "C403", Note, "a coil that a controller's output cannot switch";
    C404_NO_ISOLATOR, "C404", Warning, "no local isolator in the catalogue holds";
    C405_INTERLOCK_PARTNER, "C405", Warning, "an interlock partner that is not in the schedule, or is the load itself";
    C406_NO_RELAY, "C406", Warning, "no interposing relay in the catalogue holds";
    C407_RUN_DROP, "C407", Warning, "a control run in which contactors lose the voltage to pick up";
    C408_RUN_CAPACITANCE, "C408", Warning, "a control run whose capacitance may keep a contactor from releasing";
    C409_NO_CONTROL_SUPPLY, "C409", Warning, "no control transformer or direct-current supply in the catalogue holds";
    C410_WITHOUT_TRANSFORMER, "C410", Note, "coils that the line feeds, or might feed, without a control transformer";
    C411_COIL_LOW, "C411", Warning, "a coil whose voltage is too low while it picks up";
    C412_NO_CONTROL_DEVICE, "C412", Warning, "no protective device of a control circuit in the catalogue holds";
    C413_RETURN, "C413", Note, "coils that pick up together when the supply comes back";
    C414_SEVERAL_SUPPLIES, "C414", Note, "starters of a board that are shared out among several control supplies";
    C415_RELAY_UNSUPPRESSED, "C415", Warning, "an interposing relay whose coil brings no suppression to a controller's output";
    C501_AUXILIARY_PLACES, "C501", Warning, "more auxiliary contacts than a frame takes";
    C502_NO_ACCESSORY, "C502", Warning, "an accessory that the catalogue does not have";
    C503_NO_PAIR, "C503", Note, "breaker and contactor frames that do not pair";
    C504_CONTROL_WORD, "C504", Warning, "a word of the control scheme that is not known";
    C505_NO_CONTACTOR, "C505", Warning, "contacts that are asked of a circuit without a contactor that could give them";
    C506_TRIP_CONTACT, "C506", Warning, "an indication of a trip for which no contact is left";
    C507_CHANGEOVER_PAUSE, "C507", Warning, "a changeover pause outside its usual bounds";
    C508_DROP_OUT, "C508", Warning, "a contactor that drops out more slowly than the changeover pause";
    C509_RESET_EXPLOSIVE, "C509", Error, "automatic reset of a motor for explosive atmospheres";
    C510_INTERLOCK_FRAMES, "C510", Warning, "interlocked contactors that no mechanical interlock joins";
    C511_ELECTRICAL_ONLY, "C511", Note, "loads that are interlocked through contacts alone";
    C512_EMERGENCY_STOP, "C512", Warning, "an emergency stop whose devices are by others";
    C513_NO_RELEASE, "C513", Warning, "an undervoltage release that no device of the circuit takes";
    C514_NOT_LOCKABLE, "C514", Warning, "a disconnecting circuit-breaker that can't be locked off";
    C515_BRAKE, "C515", Warning, "a brake that no contact of the starter can switch";
    C516_CONTROL_WIRES, "C516", Warning, "control wires and a control station that contradict each other";
    C517_SUPPRESSOR_DELAY, "C517", Warning, "a suppressor that delays a contactor which must drop out quickly";
    C518_ENCLOSURE, "C518", Warning, "an enclosure that is no degree of protection";
    C519_REMOTE, "C519", Warning, "a trip or reset from afar that no device of the circuit takes";
    C520_NO_WIRING_LINK, "C520", Note, "contactors of two frames, which no wiring link joins";
    C601_NO_CABLE, "C601", Warning, "a run for which no cable holds";
    C602_NO_LENGTH, "C602", Warning, "a run whose length is unknown";
    C604_NO_CABLE_PART, "C604", Warning, "a cable that the catalogue does not have";
    C605_TT, "C605", Warning, "a TT system, which needs a residual-current device";
    C606_JAM, "C606", Note, "three conductors that may wedge in a bend of their raceway";
    C607_MINIMUM_SIZE, "C607", Warning, "a smallest size that the rule book does not have";
    C608_ROOF, "C608", Note, "a run on a roof whose air is taken as hotter";
    C609_ENLARGED, "C609", Note, "conductors larger than the terminals of a motor are made for";
    C701_GIVEN_INADEQUATE, "C701", Warning, "a device or conductor chosen by others that does not hold";
    C702_GIVEN_OVERSIZED, "C702", Note, "a device or conductor chosen by others that is larger than needed";
    C703_GIVEN_NOT_CHECKED, "C703", Warning, "a device or conductor chosen by others of which too little is stated";
    C704_GIVEN_UNREADABLE, "C704", Warning, "a device or conductor chosen by others that can't be read";
    // B: boards and supply
    B301_NO_FEEDER_CONDUCTOR, "B301", Warning, "a feeder for which no conductor holds";
    B302_NO_FEEDER_DEVICE, "B302", Warning, "a feeder whose protective device the catalogue does not have";
    B303_NO_FEEDER_PART, "B303", Warning, "a feeder whose conductor the catalogue does not have";
    B304_FEEDER_CHECK, "B304", Warning, "a check of a feeder or transformer that fails";
    B305_FEEDER_TEXT, "B305", Warning, "a feeder conductor that can't be read";
    B306_FEEDER_TWO_WAYS, "B306", Warning, "a feeder conductor that can be read in two ways";
    B307_FEEDER_ASSUMED, "B307", Note, "what was assumed of a stated feeder conductor";
    B308_FEEDER_OHMS, "B308", Warning, "impedances of a feeder that are stated by half, or beside a conductor";
    B309_TWO_READINGS, "B309", Note, "two readings of the clause for the largest device of a feeder";
    B310_NOT_ON_FEEDER, "B310", Warning, "rows that a feeder can't count";
    B311_SECONDARY_CONDUCTORS, "B311", Note, "conductors between a transformer and the first device behind it";
    B312_DISCRIMINATION, "B312", Note, "how far the device of a feeder and those behind it discriminate";
    B313_NO_DISCRIMINATION, "B313", Warning, "a feeder's device that opens for a fault or overload behind another";
    B314_FEEDER_ABOVE_CHOSEN, "B314", Note, "a feeder's device above what the devices that were chosen behind it would give";
    B315_SPARE, "B315", Note, "spare capacity that a feeder was sized with";
    B316_FEEDER_LENGTH, "B316", Warning, "a feeder whose length is unknown, so that nothing behind it has a fault current";
    B317_FEEDER_TT, "B317", Warning, "a feeder in a TT system, which needs a residual-current device";
    B318_FEEDER_VOLTAGE, "B318", Warning, "a board whose voltage is unknown, so that its feeder is not chosen";
    B319_FEEDER_BY_CONDUCTORS, "B319", Note, "a feeder's device that goes by the conductors, because the sum for motors admits none that carries the load";
    // V: verifier
    V101_PART_UNKNOWN, "V101", Error, "a part that is not in the catalogue, or not of the family that its place asks for";
    V102_DESCRIPTION, "V102", Error, "a part described otherwise than in the catalogue";
    V103_PART_MISSING, "V103", Error, "a part that the circuit needs and its list of parts lacks";
    V104_PART_NEEDLESS, "V104", Error, "a part in the list, or more of it, that the circuit does not need";
    V105_PART_DETAIL, "V105", Error, "a part counted in the wrong unit, without quantity or by the wrong supplier";
    V201_CURRENT, "V201", Error, "a current that its source or the starting method does not give";
    V202_ROLES, "V202", Error, "contactors that are not those of the starting method";
    V203_ROLE_CURRENT, "V203", Error, "a contactor whose current is not the share of its role";
    V204_CONTACTOR, "V204", Error, "figures of a contactor that are not the catalogue's";
    V205_COIL, "V205", Error, "a coil that is not one of the control voltage";
    V206_PAIR, "V206", Error, "contactors that exclude each other in frames that no interlock joins";
    V207_REDUCED_LIFE, "V207", Error, "a rating of reduced life where the duty does not admit one";
    V208_CATEGORY, "V208", Error, "a utilization category that is not that of the duty";
    V209_CONTACTOR_TOO_SMALL, "V209", Error, "a contactor that does not hold what its role asks";
    V301_RELAYS, "V301", Error, "overload protection that is not where the starting method has it";
    V302_RELAY, "V302", Error, "figures of an overload relay or release that are not the catalogue's, or do not suit";
    V303_TRIP_CLASS, "V303", Error, "a trip class that a relay or release does not have";
    V304_MOUNTING, "V304", Error, "an overload relay that nothing carries";
    V305_SETTING, "V305", Error, "a setting that is not on the dial at or next below what is admitted";
    V401_PROTECTION, "V401", Error, "figures of a protective device that are not the catalogue's, or do not suit";
    V402_BREAKING_CAPACITY, "V402", Error, "a protective device that does not break the fault current";
    V403_MAGNETIC, "V403", Error, "a magnetic trip that the device does not have, or that the start reaches";
    V404_PROTECTION_SMALL, "V404", Error, "a protective device that does not carry its load";
    V405_PROTECTION_LARGE, "V405", Error, "a protective device larger than the book, a marking or a device behind it admits";
    V406_COORDINATION, "V406", Error, "a co-ordination type that no tested combination gives";
    V501_DEVICE, "V501", Error, "a soft starter, drive or the like that does not suit";
    V502_ISOLATOR, "V502", Error, "a disconnecting means that is not asked for, missing, or does not suit";
    V601_ACCESSORY_FIT, "V601", Error, "an accessory that does not fit what it serves";
    V602_PLACES, "V602", Error, "accessories for which a contactor has no place";
    V603_ACCESSORY_NEEDLESS, "V603", Error, "an accessory that nothing asks for";
    V604_ACCESSORY, "V604", Error, "figures of an accessory that are not the catalogue's";
    V605_ACCESSORY_MISSING, "V605", Error, "an accessory that the circuit needs and lacks";
    V606_VOLTAGE, "V606", Error, "a suppressor or timer that does not suit the control voltage or the start";
    V607_TIMER, "V607", Error, "a timer without a setting that it can take";
    V608_MATERIAL, "V608", Error, "small material that does not suit what it is for";
    V609_CONTACTS, "V609", Error, "auxiliary contacts that are not those of the control circuit, or sit where they do not suit";
    V611_CONTROL, "V611", Error, "a control circuit whose coils, commands or run are not as it says";
    V612_CONTROL_SUPPLY, "V612", Error, "a control supply that does not suit, or does not serve what it must";
    V701_RUNS, "V701", Error, "runs that are not those of the starting method";
    V702_LENGTH, "V702", Error, "a run whose length is not the row's";
    V703_SIZE, "V703", Error, "a size that its name, its area or its criteria contradict";
    V704_CAPACITY, "V704", Error, "a run whose capacity does not hold what flows in it";
    V705_PROTECTIVE, "V705", Error, "a protective conductor below its smallest size";
    V706_CABLE, "V706", Error, "a cable that is not that of its run";
    V707_TERMINALS, "V707", Error, "terminals that do not clamp a conductor, unsaid";
    V801_CHECK, "V801", Error, "a check whose figures and verdict contradict each other or the circuit";
    V802_CHECK_MISSING, "V802", Error, "a check that a circuit must have and has not";
    V803_STATUS, "V803", Error, "a status that findings and checks do not bear out";
    V804_GIVEN, "V804", Error, "a choice of others without a verdict, or a verdict on what nobody stated";
    V901_PURCHASE, "V901", Error, "a purchase list that is not the sum of its circuits";
    // B: boards and supply
    // P: purchase
    P101_NO_PRICE, "P101", Note, "lines of the purchase list without price";
    P102_CURRENCY, "P102", Warning, "prices in more than one currency";
    P103_CUT_TOO_LONG, "P103", Warning, "a cut of cable that is longer than any drum";
    P104_FAMILIES_LACKING, "P104", Note, "small material that the catalogue lacks and that is not counted";
    P105_CONTROL_CABLE, "P105", Note, "a control cable that is not counted";
    P106_NO_MATERIAL, "P106", Note, "small material that the catalogue does not have";
    P107_OWN_ENCLOSURE, "P107", Note, "an enclosure that is counted for one circuit";
    P201_MERGED, "P201", Note, "a part that gave way to a larger one, for fewer kinds of parts";
    P202_MERGES, "P202", Note, "what fewer kinds of parts save";
}
