namespace PoeOps;

/// <summary>Every kind of problem, each with one meaning. A name is never reused; scripts compare them.</summary>
public enum ProblemId
{
    // Files
    /// <summary>A file or folder that was named does not exist.</summary>
    FileNotFound,
    /// <summary>A file has no content.</summary>
    FileEmpty,
    /// <summary>A file is larger than anything of its kind may be.</summary>
    FileTooLarge,
    /// <summary>A file that must be UTF-8 holds bytes that are not.</summary>
    FileNotUtf8,
    /// <summary>A file exists but cannot be opened or read.</summary>
    FileUnreadable,
    /// <summary>A file or folder cannot be written.</summary>
    FileNotWritable,
    /// <summary>A file stands where a new one was to be written.</summary>
    FileExists,
    /// <summary>A path leads to something else than a disk: to another of PowerShell's providers, or to a drive that does not exist.</summary>
    PathNotOnDisk,
    /// <summary>A file is one of ours, of another kind than was expected.</summary>
    FileOfOtherKind,
    /// <summary>A text is not well-formed JSON.</summary>
    JsonSyntax,
    /// <summary>A JSON object has a key that its schema does not know.</summary>
    JsonUnknownKey,
    /// <summary>A JSON value has another type than its key takes.</summary>
    JsonWrongType,
    /// <summary>A JSON object lacks a key that it must have.</summary>
    JsonMissingKey,
    /// <summary>A JSON value has the right type but a content that cannot be.</summary>
    JsonBadValue,
    /// <summary>A JSON object has the same key twice.</summary>
    JsonKeyTwice,
    /// <summary>A text of a user's file holds a character that nobody sees.</summary>
    HiddenCharacter,
    /// <summary>A CSV file lacks a column or has a row that does not fit its header.</summary>
    CsvUnreadable,

    // Power
    /// <summary>A text is not an amount of power.</summary>
    WattsUnreadable,
    /// <summary>A text is not an amount of energy.</summary>
    WattHoursUnreadable,
    /// <summary>A number is not a PD class.</summary>
    ClassUnknown,
    /// <summary>A channel that cannot be, or that cannot carry a load.</summary>
    ChannelImpossible,
    /// <summary>A supply or an efficiency that cannot be.</summary>
    SupplyImpossible,
    /// <summary>Amounts of power of the PSE's side and of the PD's were to be added.</summary>
    SidesMixed,
    /// <summary>A number that a neighbour gives for its power is none.</summary>
    NeighbourPowerUnreadable,

    // Estate
    /// <summary>A text is not the id of a unit.</summary>
    UnitIdUnreadable,
    /// <summary>A text is not the id of a port.</summary>
    PortIdUnreadable,
    /// <summary>Two switches of an estate have the same name, or the same address and port.</summary>
    SwitchTwice,
    /// <summary>Two sites, roles or units of an estate have the same name.</summary>
    NameTwice,
    /// <summary>A switch, unit, site, role or load is named that the estate does not have.</summary>
    NotInEstate,
    /// <summary>A number is no priority in the coding of its source.</summary>
    PriorityUnknown,
    /// <summary>A setting of the estate names a unit or port that was not read.</summary>
    SettingFitsNothing,

    // Dialects
    /// <summary>A dialect is named that no file on the search path defines.</summary>
    DialectUnknown,
    /// <summary>An encoding is not known on this machine.</summary>
    EncodingUnknown,
    /// <summary>A regular expression in a dialect cannot be compiled.</summary>
    PatternInvalid,
    /// <summary>A group in a pattern, or a key, names no property.</summary>
    PropertyUnknown,
    /// <summary>A line that no rule of the dialect reads.</summary>
    LineUnread,
    /// <summary>A row or block that lacks a value it must have.</summary>
    RowIncomplete,
    /// <summary>A value that stands where it should but cannot be read.</summary>
    ValueUnreadable,
    /// <summary>Two places say different things of one property.</summary>
    ReadingsDisagree,
    /// <summary>A block began and its end was not seen.</summary>
    BlockNotEnded,
    /// <summary>A block gave another number of records than it says itself.</summary>
    RowsMissing,
    /// <summary>No port of a unit was read that must have some.</summary>
    PortsMissing,
    /// <summary>A capture holds bytes that are no text.</summary>
    CaptureBinary,
    /// <summary>A capture holds bytes that do not decode.</summary>
    CaptureUndecodable,
    /// <summary>Nothing in a capture is read by the dialect.</summary>
    CaptureOfAnotherFamily,
    /// <summary>A line is longer than any console prints.</summary>
    LineTooLong,
    /// <summary>A pattern took longer on one line than it may.</summary>
    PatternTooSlow,
    /// <summary>A text is no version in any spelling that the dialect gives.</summary>
    VersionUnreadable,
    /// <summary>The samples of a dialect do not come out as it says.</summary>
    DialectSampleFails,

    // SNMP
    /// <summary>A line of a saved walk is nothing that a walk prints, or a value in it is cut.</summary>
    WalkUnreadable,
    /// <summary>A saved walk has an object twice, with different values.</summary>
    WalkContradicts,
    /// <summary>An agent does not answer, or stopped answering.</summary>
    SnmpSilent,
    /// <summary>What an agent sends cannot be read, or answers another question.</summary>
    SnmpMalformed,
    /// <summary>An agent answers that something is wrong with what it was asked.</summary>
    SnmpRefused,
    /// <summary>A walk comes back to where it has been, or to no end.</summary>
    SnmpWalkEndless,
    /// <summary>A community, user or password that cannot be used, or that is missing.</summary>
    SnmpSecretUnusable,
    /// <summary>An agent does not know the user.</summary>
    SnmpUserUnknown,
    /// <summary>An agent and we do not have the same authentication password or hash.</summary>
    SnmpWrongPassword,
    /// <summary>An agent cannot decrypt what we send.</summary>
    SnmpWrongPrivacy,
    /// <summary>An agent does not take the level of security for this user.</summary>
    SnmpLevelRefused,
    /// <summary>An agent does not know the context.</summary>
    SnmpContextUnknown,
    /// <summary>The clocks of an agent and of the session cannot be brought together.</summary>
    SnmpClockWrong,
    /// <summary>An agent has no table of PSE controllers.</summary>
    PowerTablesMissing,
    /// <summary>Watts that a unit cannot have; the agent may count in tenths.</summary>
    WattsImplausible,

    // Baselines
    /// <summary>Two entries of a baseline cover the same model and release.</summary>
    BaselineEntriesOverlap,
    /// <summary>The hops of a baseline entry do not lead to its firmware.</summary>
    HopsDoNotConnect,

    // Images
    /// <summary>An image file is not where it should be.</summary>
    ImageNotFound,
    /// <summary>An image has another size than the baseline says.</summary>
    ImageWrongSize,
    /// <summary>An image has another SHA-256 digest than the baseline says.</summary>
    ImageWrongDigest,
    /// <summary>An image says itself that it is for another family, or has not what the images of the family are known by.</summary>
    ImageOtherFamily,
    /// <summary>An image says itself that it is for other hardware models.</summary>
    ImageOtherModel,
    /// <summary>The name or the header of an image says another version than the baseline.</summary>
    ImageVersionDiffers,
    /// <summary>An image takes more blocks of a server's size than can be numbered without starting again at 0.</summary>
    ImageNeedsWrap,
    /// <summary>A file cannot be served: its name, or what it is, is not let out.</summary>
    ImageNotServable,
    /// <summary>A client of a file server is none that anybody knows, or none is named.</summary>
    ClientUnknown,
    /// <summary>Two file servers are named for one run.</summary>
    ImageServerTwice,
    /// <summary>An image could not be fetched over SSH.</summary>
    ImageFetchFailed,
    /// <summary>A TFTP packet cannot be read.</summary>
    TftpMalformed,
    /// <summary>The other side of a TFTP transfer refused it.</summary>
    TftpRefused,
    /// <summary>The other side of a TFTP transfer stopped answering.</summary>
    TftpTimedOut,
    /// <summary>The file server cannot listen at its address and port.</summary>
    TftpCannotListen,
    /// <summary>A text is no address of a file server.</summary>
    ImageServerUnreadable,
    /// <summary>A file is larger than a TFTP server offers or a client takes.</summary>
    TftpFileTooLarge,
    /// <summary>A file became another one while a file server offered it.</summary>
    ImageChanged,

    // Outages and planning
    /// <summary>Figures of a unit that no unit has, so that its restart cannot be simulated.</summary>
    RestartImpossible,
    /// <summary>A port draws more than its class has and than was agreed on.</summary>
    DrawImpossible,
    /// <summary>A row of a list of ports lacks a column, or has a value that cannot be.</summary>
    PortRowUnreadable,
    /// <summary>A role has no restart time and the estate names no default.</summary>
    RoleTimesUnknown,
    /// <summary>No stage times are known for a unit.</summary>
    StageTimesUnknown,
    /// <summary>A time zone is named that does not exist.</summary>
    ZoneUnknown,
    /// <summary>A window or freeze cannot be: no length, or it ends before it begins.</summary>
    WindowImpossible,
    /// <summary>A unit does not fit into any window.</summary>
    NoWindowFits,
    /// <summary>The windows that the estate names for a unit are none of its site's.</summary>
    NamedWindowMissing,
    /// <summary>Every window that would take a unit holds one that covers for it.</summary>
    CoverageNotApart,
    /// <summary>Every window that would take a unit has as many units or dark loads as it may.</summary>
    WindowLimitReached,
    /// <summary>After the pilot of a unit and the soak no window is left.</summary>
    PilotTooLate,
    /// <summary>A reserve is given that is less than no time.</summary>
    ReserveImpossible,
    /// <summary>A soak is given that is less than no time.</summary>
    SoakImpossible,
    /// <summary>A unit carries life-safety loads that nobody accepted.</summary>
    LifeSafetyNotAccepted,
    /// <summary>Loads of a unit do not come back within its budget after a reset, and nobody accepted that.</summary>
    LoadsRefused,
    /// <summary>A probability of ending in time that cannot be asked for.</summary>
    ConfidenceImpossible,
    /// <summary>A reserve and a confidence, which sets one, are both given.</summary>
    ReserveTwice,
    /// <summary>A plan was to be made, and not one outage came in to make it of.</summary>
    NothingToPlan,
    /// <summary>Something that a plan was made from has changed since.</summary>
    PlanStale,
    /// <summary>A plan's text was changed after it was made.</summary>
    PlanAltered,
    /// <summary>A plan is named as the one before another that cannot be that.</summary>
    PreviousPlanUnfit,
    /// <summary>A controller's reading has problems, so it cannot be planned or refreshed.</summary>
    ReadingNotClean,
    /// <summary>A verdict other than Behind gives nothing to plan.</summary>
    NotPlannable,

    // Refresh: gates
    /// <summary>The unit's window is not open, or too little of it is left.</summary>
    WindowClosed,
    /// <summary>Another run holds the switch.</summary>
    SwitchHeld,
    /// <summary>The fresh reading of a unit differs from the plan.</summary>
    UnitChanged,
    /// <summary>The firmware that a plan would load is not newer than what the unit runs.</summary>
    ImageNotNewer,
    /// <summary>The controller is not healthy.</summary>
    ControllerNotHealthy,
    /// <summary>The device says that a refresh is under way already.</summary>
    UnitBusy,
    /// <summary>A unit that covers for this one is not back.</summary>
    CoverageNotBack,
    /// <summary>The pilot of a unit's model and image is not well, was not refreshed, or its soak is not over.</summary>
    PilotNotWell,
    /// <summary>Too little space is left on disk for journal and transcripts.</summary>
    DiskTooFull,
    /// <summary>A gate is named that cannot be skipped, or that there is none of.</summary>
    GateNotSkippable,
    /// <summary>A plan has several lanes and the run names none, or one that the plan has not.</summary>
    LaneNotNamed,
    /// <summary>The plan has no unit left to do.</summary>
    NothingToDo,

    // Refresh: stages
    /// <summary>The device said that the refresh failed.</summary>
    RefreshFailed,
    /// <summary>A stage did not end within its deadline.</summary>
    StageTimedOut,
    /// <summary>Progress stood still for longer than it may.</summary>
    StageStalled,
    /// <summary>The unit runs another version than it was given.</summary>
    VersionNotReached,
    /// <summary>Loads that were powered before are not powered after.</summary>
    LoadsNotBack,
    /// <summary>Port settings after the refresh differ from those before.</summary>
    SettingsDiffer,
    /// <summary>Nobody knows what state the unit is in.</summary>
    OutcomeUncertain,
    /// <summary>The process of the run was made to end while the unit was at work.</summary>
    RunDetached,
    /// <summary>Somebody said no to the question before a unit.</summary>
    NotConfirmed,

    // Terminal
    /// <summary>No connection to a device could be made.</summary>
    ConnectFailed,
    /// <summary>A kind of link is named that cannot be used here.</summary>
    LinkNotSupported,
    /// <summary>A link carries user and password in clear, nobody watches, and the estate does not allow it for that switch.</summary>
    ClearTextRefused,
    /// <summary>The device closed the connection.</summary>
    LinkClosed,
    /// <summary>The device had ended the session before a command was sent in it; the command was not sent.</summary>
    SessionEnded,
    /// <summary>The device, or the console server before it, has no session free.</summary>
    SessionsFull,
    /// <summary>The device said nothing for longer than it may.</summary>
    LinkSilent,
    /// <summary>The device did not take what was sent to it in time.</summary>
    LinkBlocked,
    /// <summary>The device refused the log-in or the elevation.</summary>
    LogInRefused,
    /// <summary>The device asked for a secret that was not given.</summary>
    SecretMissing,
    /// <summary>The device does not know, or refuses, a command of the dialect.</summary>
    CommandRefused,
    /// <summary>A command was to be sent for a capture that the dialect lists as changing something.</summary>
    CommandChanges,
    /// <summary>A device did not say what it calls the work that it began, by which it must be asked how far it is.</summary>
    JobUnknown,
    /// <summary>No variant of a command fits the release and model of what it is for.</summary>
    NoVariantFits,
    /// <summary>An answer did not end with a prompt.</summary>
    PromptNotSeen,
    /// <summary>A device said a secret in what was read of it.</summary>
    SecretTold,
    /// <summary>A line of a saved transcript is not written as transcripts are.</summary>
    TranscriptUnreadable,
    /// <summary>An answer is longer than any may be.</summary>
    AnswerTooLong,
    /// <summary>A value that would go to a device has characters that it must not have.</summary>
    ValueNotSafe,
    /// <summary>The module that SSH needs is not there, or not in a version that can be used.</summary>
    SshModuleMissing,
    /// <summary>A key file cannot be used to log in: it is none, or its passphrase is another one.</summary>
    KeyFileUnusable,
    /// <summary>None of the SSH sessions that were given can be used for a switch.</summary>
    SshSessionUnusable,
    /// <summary>The host key of an SSH server is not known, and nobody accepted it.</summary>
    HostKeyUnknown,
    /// <summary>The host key of an SSH server is another one than was accepted before.</summary>
    HostKeyChanged,
    /// <summary>No host key is kept for an address and port.</summary>
    HostKeyNotFound,

    // Journal
    /// <summary>A journal cannot be written.</summary>
    JournalNotWritable,
    /// <summary>A journal's chain of digests is broken.</summary>
    JournalChainBroken,
    /// <summary>A line of a journal cannot be read.</summary>
    JournalUnreadable,
    /// <summary>The last line of a journal was not written to its end.</summary>
    JournalTorn,
    /// <summary>A journal holds no run that could be gone on with.</summary>
    NothingToResume,
    /// <summary>A plan is not the one that the run of a journal was made from.</summary>
    PlanNotOfRun,
    /// <summary>A journal holds a run that broke off while a unit was at work.</summary>
    RunUnfinished,

    // Rehearsal
    /// <summary>A rehearsal cannot be started.</summary>
    RehearsalCannotStart,
    /// <summary>A mishap is named that no rehearsal plays.</summary>
    MishapUnknown,

    // Report
    /// <summary>The run of a journal was made from another plan than the one that its report is held against.</summary>
    ReportPlanDiffers,
    /// <summary>A report would take the place of a file that it is made from.</summary>
    ReportOverSource,
    /// <summary>A report has nothing to tell: no plan, and no journal with an entry.</summary>
    ReportEmpty,
    /// <summary>The journals of a report without a plan tell of runs of several plans.</summary>
    ReportPlansMixed,
}
