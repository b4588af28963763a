package org.cellherd.alert.engine;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Collectors;
import org.cellherd.alert.Alert;
import org.cellherd.alert.AlertEvent;
import org.cellherd.alert.AlertKey;
import org.cellherd.alert.AlertLog;
import org.cellherd.alert.input.RuleInput;
import org.cellherd.alert.rule.BankShare;
import org.cellherd.alert.rule.Rule;
import org.cellherd.alert.rule.Rules;
import org.cellherd.alert.rule.Silent;
import org.cellherd.alert.rule.StoreFault;
import org.cellherd.alert.rule.WrongBoard;
import org.cellherd.alert.setting.AlertSettings;
import org.cellherd.alert.state.Pulse;
import org.cellherd.analysis.engine.PackView;
import org.cellherd.analysis.state.State;
import org.cellherd.analysis.state.StateMismatch;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.SessionStart;

/**
 * Judges one pack by all rules and says what changed. The same log, settings and acknowledgements
 * give the same events with the same ids. Belongs to one thread.
 *
 * <p>A run begins with {@link #state} where there is a snapshot, {@link #adopt} with the alerts
 * that the log says are standing, then the entries, the run's {@link SessionStart} first.
 */
public final class AlertEngine {
  private static final String SECTION = "alert-engine";
  private static final int VERSION = 23;

  private final PackPlan plan;
  private final AlertSettings settings;
  private final RuleInput input;
  private final AlertClock clock = new AlertClock();
  private final Swings swings;
  private final Notices notices;
  private final Silent silent;
  private final StoreFault store;
  private final WrongBoard wrongBoard;
  private final List<RuleMachines> judges = new ArrayList<>();
  private final Outgoing outgoing;
  private final UnitNames units;

  public AlertEngine(PackPlan plan, AlertSettings settings) {
    this.plan = plan;
    this.settings = settings;
    this.input = new RuleInput(plan, settings);
    this.swings = new Swings(plan.ratedAh());
    this.units = new UnitNames(plan);
    this.notices = new Notices(plan.id(), settings);
    this.outgoing = new Outgoing(settings.dailyQuota());
    List<Rule> rules = Rules.of(plan, settings);
    this.silent = the(Silent.class, rules);
    this.store = the(StoreFault.class, rules);
    this.wrongBoard = the(WrongBoard.class, rules);
    for (Rule rule : rules) {
      if (settings.rule(rule.terms().id()).enabled()) {
        judges.add(new RuleMachines(rule, input, outgoing));
      }
    }
  }

  private static <R extends Rule> R the(Class<R> kind, List<Rule> rules) {
    return rules.stream().filter(kind::isInstance).map(kind::cast).findFirst().orElseThrow();
  }

  /**
   * Takes the next entry of the pack's log, after the analysis took it.
   *
   * @return what changed, in order
   */
  public List<AlertEvent> onEntry(LogEntry entry, PackView view) {
    long shift = clock.accept(entry);
    Pulse pulse = pulse();
    if (shift != 0) {
      judges.forEach(j -> j.shift(shift));
    }
    if (entry instanceof SessionStart start) {
      store.forget();
      wrongBoard.forget();
      notices.restarted(start, clock, standing(), pulse, outgoing);
    }
    input.take(entry, view, pulse.ageMs());
    swings.take(input, pulse.creditMs());
    judges.forEach(j -> j.judge(pulse));
    return told(pulse);
  }

  /**
   * Lets time pass without an entry, so that repeats come in time.
   *
   * @param timeMs wall time, ms UTC
   */
  public List<AlertEvent> onTick(long timeMs) {
    clock.tick(timeMs);
    return told(pulse());
  }

  private List<AlertEvent> told(Pulse pulse) {
    judges.forEach(j -> j.repeat(pulse));
    return units.in(outgoing.take());
  }

  /**
   * Somebody saw an alert. Unknown ids, and alerts that were seen before, change nothing.
   *
   * @param alertId the alert's id
   * @param by who, as given
   * @param timeMs when, ms UTC
   */
  public List<AlertEvent> acknowledge(String alertId, String by, long timeMs) {
    clock.tick(timeMs);
    Pulse pulse = pulse();
    judges.forEach(j -> j.acknowledge(alertId, by, pulse));
    return units.in(outgoing.take());
  }

  /**
   * Takes over the alerts of this pack that the log says are standing: acknowledgements stay, none
   * is raised again, and what is not among them is over. Alerts whose rule or cell is gone end
   * here.
   *
   * @param standing what {@link AlertLog#standing} says
   * @param lastEntryMs time of the newest entry of the log, ms UTC, so that the gap can be told
   */
  public List<AlertEvent> adopt(List<Alert> standing, long lastEntryMs) {
    clock.tick(lastEntryMs);
    return adopt(standing);
  }

  /** The same where a snapshot or nobody knows when the log ended. */
  public List<AlertEvent> adopt(List<Alert> standing) {
    Pulse pulse = pulse();
    Set<String> ids = standing.stream().map(Alert::id).collect(Collectors.toSet());
    judges.forEach(j -> j.forgetAllBut(ids));
    for (Alert alert : standing) {
      boolean isOurs = !alert.key().rule().equals(BankShare.ID);
      if (!isOurs || !alert.key().pack().equals(plan.id())) {
        continue;
      }
      Optional<RuleMachines> judge = judge(alert.key());
      if (judge.isPresent()) {
        judge.get().adopt(alert, pulse);
      } else {
        String why = "its rule is off or its cell is not in the plan";
        outgoing.tell(Notices.gone(alert, why, pulse));
      }
    }
    return units.in(outgoing.take());
  }

  /**
   * Ends an alert that nobody judges any more, such as one of a pack that left the config.
   *
   * @param why a clause, or "" when nothing more is known
   * @param timeMs when that was noticed, ms UTC
   */
  public AlertEvent gone(Alert alert, String why, long timeMs) {
    clock.tick(timeMs);
    return Notices.gone(alert, why, pulse());
  }

  private Optional<RuleMachines> judge(AlertKey key) {
    boolean fits = key.cell() >= 0 && key.cell() <= plan.series();
    return judges.stream().filter(j -> fits && j.id().equals(key.rule())).findFirst();
  }

  /**
   * The log can or cannot be written.
   *
   * @param works true when it can
   * @param what what the system said, one clause
   * @param timeMs when, ms UTC
   */
  public List<AlertEvent> storeWorks(boolean works, String what, long timeMs) {
    store.works(works, what);
    return report(timeMs);
  }

  /**
   * The log found damage in itself, or lost something, and went on: a single event.
   *
   * @param what what happened, whole sentences
   * @param timeMs when, ms UTC
   */
  public AlertEvent storeNotice(String what, String step, long timeMs) {
    clock.tick(timeMs);
    return notices.store(what, step, pulse());
  }

  /**
   * The board that answers is the pack's own, or another one.
   *
   * @param isOurs true when it is
   * @param before how the pack's board names itself
   * @param now how the answering one does
   * @param timeMs when, ms UTC
   */
  public List<AlertEvent> board(boolean isOurs, String before, String now, long timeMs) {
    wrongBoard.answers(isOurs, before, now);
    return report(timeMs);
  }

  /**
   * The owner says that the board that answers, or the next that does, is the pack's own: an alert
   * about it is over for good.
   *
   * @param timeMs when, ms UTC
   */
  public List<AlertEvent> boardAccepted(long timeMs) {
    clock.tick(timeMs);
    wrongBoard.forget();
    Pulse pulse = pulse();
    judges.stream().filter(j -> j.id().equals(WrongBoard.ID)).forEach(j -> j.end(pulse));
    return units.in(outgoing.take());
  }

  private List<AlertEvent> report(long timeMs) {
    clock.tick(timeMs);
    Pulse pulse = pulse();
    for (RuleMachines judge : judges) {
      judge.judgeReported(pulse);
    }
    return units.in(outgoing.take());
  }

  /**
   * A marked event that goes the way of all others.
   *
   * @param by who asked for it
   * @param timeMs when, ms UTC
   */
  public AlertEvent testEvent(String by, long timeMs) {
    clock.tick(timeMs);
    return notices.test(by, pulse());
  }

  /** The alerts that people were told of and that are not over, worst first. */
  public List<Alert> standing() {
    Pulse pulse = pulse();
    List<Alert> list = new ArrayList<>();
    judges.forEach(j -> j.standing(pulse, list));
    list.sort(Comparator.comparing(Alert::priority).thenComparing(Alert::sinceMs));
    list.replaceAll(units::in);
    return list;
  }

  /** True while more readings decide whether something critical is told: poll at the fastest. */
  public boolean asksAgain() {
    return judges.stream().anyMatch(RuleMachines::asksAgain);
  }

  /** True when the pack had rested so long that a silent board is most likely asleep. */
  public boolean hasRested() {
    return silent.hasRested();
  }

  private Pulse pulse() {
    Pulse pulse = clock.pulse(settings.zone(), swings.count());
    outgoing.at(pulse.ageMs());
    return pulse;
  }

  /**
   * The whole state, to save it and to restore it into a new engine; a {@link StateMismatch} when
   * it belongs to another plan or other rules: then a new engine and {@link #adopt} are the way.
   */
  public void state(State io) {
    io.section(SECTION, VERSION);
    String saved = io.text(fingerprint());
    if (!saved.equals(fingerprint())) {
      throw new StateMismatch("rules were " + saved + " and are " + fingerprint());
    }
    clock.state(io);
    swings.state(io);
    input.state(io);
    notices.state(io);
    outgoing.state(io);
    judges.forEach(j -> j.state(io));
  }

  private String fingerprint() {
    StringBuilder text = new StringBuilder(plan.id() + " " + plan.series());
    for (RuleMachines judge : judges) {
      text.append(' ').append(judge.id().word()).append(judge.levels());
    }
    return text.toString();
  }
}
