package org.cellherd.app.daemon;

import java.time.Duration;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.function.BiConsumer;
import org.cellherd.alert.Acknowledger;
import org.cellherd.alert.Alert;
import org.cellherd.alert.AlertEvent;
import org.cellherd.alert.news.PackState;
import org.cellherd.alert.news.PackSummary;
import org.cellherd.alert.news.Sink;
import org.cellherd.alert.setting.AlertSettings;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.engine.NowSentence;
import org.cellherd.analysis.moment.Phase;
import org.cellherd.app.config.Config;
import org.cellherd.app.config.PackConfig;
import org.cellherd.app.logged.FoundAgain;
import org.cellherd.app.logged.Metered;
import org.cellherd.pack.Gap;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.Reading;
import org.cellherd.pack.SessionStart;
import org.cellherd.pack.Spoken;
import org.cellherd.pack.StorageFailure;
import org.cellherd.pack.TimeSource;
import org.cellherd.store.Remarks;

/**
 * All packs, their log and their alerts: everything that one thread owns. Others hand it work
 * through the {@link Inbox}.
 */
final class Herd {

  /** In a knee, and where a critical alert may begin, polled at least this often. */
  private static final Duration FASTEST = Duration.ofMillis(AlertSettings.FASTEST_POLL_MS);

  /** What another process writes in place of an alert's id to ask for a test event of a pack. */
  static final String TEST_REQUEST = "test-of-the-way:";

  /** The same to say that the board that answers is the pack's own from now on. */
  static final String BOARD_REQUEST = "board-of:";

  private static final System.Logger LOG = System.getLogger(Herd.class.getName());

  private static final Duration SUMMARY = Duration.ofSeconds(10);

  /** A minute of an old text in the log, for a sixth of the writing. */
  private static final Duration LOG_AFRESH = Duration.ofMinutes(1);

  private static final Duration SNAPSHOT = Duration.ofHours(1);
  private static final Duration ACKNOWLEDGEMENTS = Duration.ofSeconds(2);
  private static final Duration RETAIN = Duration.ofMinutes(10);

  /** All of the log is checked so often, a block each second: 20 KB a second off the card. */
  private static final Duration CHECK = Duration.ofDays(1);

  private static final long NANOS_PER_MS = 1_000_000;
  private static final int MOST_UNSETTLED = 64;

  /** Half a day at 1 Hz; a log that takes longer to read is not waited for. */
  private static final int MOST_MEANWHILE = 43_200;

  private final Map<String, Member> members = new LinkedHashMap<>();
  private final BankWatch banks;
  private final LogKeeper keeper;
  private final Sink sink;
  private final SessionClock clock;
  private final TimeSource time;
  private final BiConsumer<String, Duration> pace;
  private final long session;
  private final Afresh forSinks = new Afresh(SUMMARY);
  private final Afresh forLog = new Afresh(LOG_AFRESH);
  private final Every acknowledgements = new Every(ACKNOWLEDGEMENTS);
  private final Every retain = new Every(RETAIN);
  private final Every checkLog = new Every(CHECK);
  private final List<AlertEvent> unsettled = new ArrayList<>();
  private String toldTrouble = "";
  private boolean hasToldTrouble;
  private boolean hasReading;
  private boolean isChecking;

  /** One pack and what was last told of it. */
  private static final class Member {
    final PackWatch watch;
    final Presence presence;
    final OwnBoard board;
    final Map<String, String> toldFindings = new LinkedHashMap<>();
    final Every summary = new Every(SUMMARY);
    final Every snapshot = new Every(SNAPSHOT);
    final List<LogEntry> meanwhile = new ArrayList<>();
    boolean isWhole;
    boolean isFast;

    Member(PackConfig config, OwnBoard board, long startMs) {
      this.board = board;
      this.watch = new PackWatch(config);
      this.presence = new Presence(startMs);
    }
  }

  /**
   * A herd whose packs are where their log ends.
   *
   * @param pace called when a pack is to be polled at another pace
   */
  Herd(
      List<PackConfig> packs,
      List<Config.Bank> banks,
      LogKeeper keeper,
      Sink sink,
      SessionClock clock,
      TimeSource time,
      BiConsumer<String, Duration> pace)
      throws StorageFailure {
    this.keeper = keeper;
    this.sink = sink;
    this.clock = clock;
    this.time = time;
    this.pace = pace;
    this.session = keeper.file().writer().nextRun();
    this.banks = new BankWatch(banks, packs);
    Recovery recovery = new Recovery(keeper.file());
    for (PackConfig planned : packs) {
      PackConfig pack = Metered.of(keeper.file(), planned);
      Member member = new Member(pack, new OwnBoard(pack.plan().id(), keeper), clock.nowMs());
      member.isWhole = recovery.restore(member.watch);
      members.put(pack.plan().id(), member);
    }
  }

  /**
   * Begins the run: what stands from before is taken over, then every pack's log gets its start.
   */
  void begin() throws StorageFailure {
    SessionStart.Before before = keeper.file().end();
    List<Alert> standing = banks.adopt(keeper.file().alertLog().standing());
    for (Member member : members.values()) {
      tell(member.watch.alerts().adopt(standing));
      take(member, new SessionStart(clock.nowMs(), session, clock.isSure(), before));
      sink.state(member.watch.id(), member.presence.state());
    }
    endUnwatched();
    // Before anything is heard: what a log ahead of the clock would drag along.
    checkClock();
    settle(false);
    // What an earlier run said last is not confirmed by anything of this one yet.
    sayAfresh();
    keeper.commitIfDue(time.monotonicNanos() / NANOS_PER_MS);
  }

  /** Alerts that nobody took over, as of packs that left the config, end here. */
  private void endUnwatched() throws StorageFailure {
    Set<String> taken = new HashSet<>();
    active().forEach(alert -> taken.add(alert.id()));
    unsettled.forEach(event -> taken.add(event.alert().id()));
    for (Alert alert : keeper.file().alertLog().standing()) {
      if (!taken.contains(alert.id())) {
        String pack = alert.key().pack();
        String why = members.containsKey(pack) ? "" : "pack " + pack + " is not in the config";
        members.values().stream()
            .findFirst()
            .ifPresent(m -> tell(List.of(m.watch.alerts().gone(alert, why, clock.nowMs()))));
      }
    }
  }

  /** All alerts that are not over, of packs and banks. */
  private List<Alert> active() {
    List<Alert> active = new ArrayList<>();
    members.values().forEach(member -> active.addAll(active(member)));
    return active;
  }

  private List<Alert> active(Member member) {
    List<Alert> active = new ArrayList<>(member.watch.alerts().standing());
    active.addAll(banks.standing(member.watch.id()));
    return active;
  }

  /** What an active alert says is to be true where it is read, also while nothing is heard. */
  private void sayAfresh() {
    long now = time.monotonicNanos();
    if (!forSinks.isDue(now)) {
      return;
    }
    List<Alert> active = active();
    forSinks.changed(active).forEach(sink::standing);
    // The log may hear a value a minute late, but not that what it says is no longer so.
    if (forLog.isDue(now) || forLog.hasTurned(active)) {
      List<Alert> changed = forLog.changed(active);
      if (!changed.isEmpty()) {
        keeper.restate(changed);
      }
    }
  }

  void heard(String pack, LogEntry entry) {
    Member member = members.get(pack);
    if (member != null) {
      take(member, clock.wall(entry));
    }
  }

  /** Readings were skipped because this thread was too slow: the log says so. */
  void skipped(String pack, long count) {
    Member member = members.get(pack);
    if (member != null && count > 0 && member.watch.analysis().reading().isPresent()) {
      long last = member.watch.analysis().timeMs();
      take(member, new Gap(last, Math.max(last, clock.nowMs()), Gap.Cause.SKIPPED));
    }
  }

  private void take(Member member, LogEntry entry) {
    PackWatch watch = member.watch;
    if (!member.isWhole && member.meanwhile.size() < MOST_MEANWHILE) {
      member.meanwhile.add(entry);
    }
    List<AlertEvent> events = new ArrayList<>(watch.accept(entry));
    events.addAll(banks.onEntry(watch.id(), entry, watch.analysis()));
    tell(events);
    keeper.append(watch.id(), entry);
    if (entry instanceof Reading reading) {
      sink.reading(watch.id(), reading);
      choosePace(member);
      if (!hasReading) {
        // A computer that reboots all the time has one reading a start at least.
        hasReading = true;
        keeper.commitNow();
      }
    }
    Optional<PackState> turned = member.presence.accept(entry, watch.alerts().hasRested());
    turned.ifPresent(s -> sink.state(watch.id(), s));
    for (Finding finding : watch.analysis().completed()) {
      keeper.save(watch.id(), finding);
      sink.finding(watch.id(), finding);
    }
    long now = time.monotonicNanos();
    if (!events.isEmpty() || turned.isPresent()) {
      member.summary.done(now);
      summarise(member);
    } else if (entry instanceof Reading && member.summary.isDue(now)) {
      summarise(member);
    }
    if (entry instanceof Reading && member.snapshot.isDue(now)) {
      snapshot(member);
    }
  }

  /**
   * The publisher has the events before the disk does. The commit waits for {@link #settle}, so
   * that packs in trouble at the same moment do not wait for each other's.
   */
  private void tell(List<AlertEvent> events) {
    events.forEach(sink::event);
    events.forEach(event -> forLog.said(event.alert()));
    unsettled.addAll(events);
  }

  /** Makes durable what was told; when nothing more waits to be heard, or much was told. */
  void settle(boolean moreWaits) {
    if (!unsettled.isEmpty() && (!moreWaits || unsettled.size() >= MOST_UNSETTLED)) {
      keeper.commit(List.copyOf(unsettled));
      unsettled.clear();
    }
  }

  private void choosePace(Member member) {
    Phase now = member.watch.analysis().phase();
    boolean fast = now.isAskedFast() || member.watch.alerts().asksAgain();
    if (fast != member.isFast) {
      member.isFast = fast;
      Duration usual =
          Duration.ofMillis(member.watch.config().line().map(l -> l.pollMs()).orElse(1000));
      pace.accept(member.watch.id(), fast && usual.compareTo(FASTEST) > 0 ? FASTEST : usual);
    }
  }

  private void summarise(Member member) {
    PackWatch watch = member.watch;
    sink.summary(
        watch.id(),
        PackSummary.of(
            watch.analysis(),
            active(member),
            member.presence.isStarting()
                ? "Starting, waiting for the board."
                : NowSentence.of(watch.analysis()),
            banks.facts(watch.id())));
    for (Finding finding : watch.analysis().standing()) {
      String text = finding.sentence();
      if (!text.equals(member.toldFindings.put(finding.name().word(), text))) {
        sink.finding(watch.id(), finding);
      }
    }
  }

  long session() {
    return session;
  }

  /** For each pack that is watched by the latest day of its log: what is to read all of it. */
  List<PackWatch> partial() {
    return members.values().stream()
        .filter(m -> !m.isWhole)
        .map(m -> m.watch.isLacking() ? m.watch.ofLacking() : new PackWatch(m.watch.config()))
        .toList();
  }

  /** A watch that knows the whole log up to this run takes over; what was told stays told. */
  void complete(PackWatch whole, FoundAgain found) {
    Member member = members.get(whole.id());
    if (member == null || member.meanwhile.size() == MOST_MEANWHILE) {
      return;
    }
    member.meanwhile.forEach(entry -> whole.accept(entry, found));
    member.meanwhile.clear();
    whole.saveAgain(keeper.file().writer(), found);
    List<Alert> standing = member.watch.alerts().standing();
    if (member.watch.become(whole)) {
      tell(member.watch.alerts().adopt(standing));
    }
    member.isWhole = true;
    snapshot(member);
    summarise(member);
  }

  /** Saves nothing of a watch that does not know the whole log: the next start would trust it. */
  private void snapshot(Member member) {
    if (!member.isWhole) {
      return;
    }
    Recovery.save(member.watch, keeper.file().writer());
    for (Finding finding : member.watch.analysis().standing()) {
      keeper.save(member.watch.id(), finding);
    }
  }

  /** What is due without any entry; call about once a second. */
  void tick() {
    checkClock();
    long now = clock.nowMs();
    for (Member member : members.values()) {
      tell(member.watch.alerts().onTick(now));
    }
    tell(banks.onTick(now));
    if (acknowledgements.isDue(time.monotonicNanos())) {
      takeAcknowledgements();
    }
    settle(false);
    sayAfresh();
    keeper.commitIfDue(time.monotonicNanos() / NANOS_PER_MS);
    tellTrouble(now);
    settle(false);
    if (isChecking || checkLog.isDue(time.monotonicNanos())) {
      isChecking = keeper.checkNext();
    }
    if (retain.isDue(time.monotonicNanos()) || keeper.isUpkeepDue()) {
      keeper.retain(now);
    }
  }

  private void takeAcknowledgements() {
    for (Remarks.Acknowledgement seen : keeper.newAcknowledgements()) {
      if (seen.alertId().startsWith(TEST_REQUEST)) {
        String pack = seen.alertId().substring(TEST_REQUEST.length());
        watch(pack).ifPresent(w -> tell(List.of(w.alerts().testEvent(seen.by(), clock.nowMs()))));
      } else if (seen.alertId().startsWith(BOARD_REQUEST)) {
        Optional.ofNullable(members.get(seen.alertId().substring(BOARD_REQUEST.length())))
            .ifPresent(m -> tell(m.board.accept(m.watch.alerts(), clock.nowMs())));
      } else {
        acknowledge(seen.alertId(), seen.by());
      }
    }
  }

  private void checkClock() {
    boolean wasSure = clock.isSure();
    Optional<LogEntry> entry = clock.check();
    if (entry.isEmpty()) {
      return;
    }
    if (entry.get() instanceof Gap gap) {
      LOG.log(
          System.Logger.Level.WARNING,
          "nothing was watched for "
              + Spoken.duration(gap.toMs() - gap.fromMs())
              + ": the computer was suspended");
    }
    members.values().forEach(m -> take(m, entry.get()));
    if (!wasSure && clock.isSure()) {
      keeper.retime(session);
    }
  }

  private void tellTrouble(long nowMs) {
    String trouble = keeper.trouble();
    // Once in any case: an alert of the run before ends only when this one says that all is well.
    if (!hasToldTrouble || !trouble.equals(toldTrouble)) {
      hasToldTrouble = true;
      toldTrouble = trouble;
      members.values().stream()
          .findFirst()
          .ifPresent(m -> tell(m.watch.alerts().storeWorks(trouble.isEmpty(), trouble, nowMs)));
    }
    for (LogKeeper.News news : keeper.takeNews()) {
      members.values().stream()
          .findFirst()
          .ifPresent(
              m -> tell(List.of(m.watch.alerts().storeNotice(news.what(), news.step(), nowMs))));
    }
  }

  /** Somebody saw an alert: what came of it. */
  Acknowledger.Seen acknowledge(String alertId, String by) {
    boolean known = false;
    List<AlertEvent> events = new ArrayList<>();
    for (Member member : members.values()) {
      known |= active(member).stream().anyMatch(alert -> alert.id().equals(alertId));
      events.addAll(member.watch.alerts().acknowledge(alertId, by, clock.nowMs()));
    }
    events.addAll(banks.acknowledge(alertId, by, clock.nowMs()));
    tell(events);
    if (!events.isEmpty()) {
      return Acknowledger.Seen.DONE;
    }
    return known ? Acknowledger.Seen.BEFORE : Acknowledger.Seen.UNKNOWN;
  }

  /** The board that answers for a pack has named itself. */
  void identified(String pack, String identity) {
    Member member = members.get(pack);
    if (member != null) {
      tell(member.board.heard(identity, member.watch.alerts(), clock.nowMs()));
    }
  }

  /** Sends one marked event down the whole path and returns its id. */
  String test(String pack, String by) {
    Member member = members.get(pack);
    if (member == null) {
      throw new IllegalArgumentException("no pack " + pack);
    }
    AlertEvent event = member.watch.alerts().testEvent(by, clock.nowMs());
    tell(List.of(event));
    return event.id();
  }

  /** The watch of a pack, for whoever runs on this thread. */
  Optional<PackWatch> watch(String pack) {
    return Optional.ofNullable(members.get(pack)).map(m -> m.watch);
  }

  List<PackWatch> watches() {
    return new ArrayList<>(members.values().stream().map(m -> m.watch).toList());
  }

  /** True when every pack is heard, or its board sleeps. */
  boolean allAccountedFor() {
    return members.values().stream().allMatch(m -> m.presence.isAccountedFor());
  }

  /** Ends the run in order. */
  void end() {
    settle(false);
    for (Member member : members.values()) {
      if (member.watch.analysis().reading().isPresent()) {
        snapshot(member);
      }
    }
    keeper.close();
  }
}
