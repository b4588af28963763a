package org.cellherd.alert.engine;

import java.util.List;
import java.util.Optional;
import org.cellherd.alert.Alert;
import org.cellherd.alert.AlertEvent;
import org.cellherd.alert.AlertEvent.Change;
import org.cellherd.alert.AlertKey;
import org.cellherd.alert.AlertState;
import org.cellherd.alert.RuleId;
import org.cellherd.alert.rule.Restarted;
import org.cellherd.alert.rule.StoreFault;
import org.cellherd.alert.rule.TestAlert;
import org.cellherd.alert.setting.AlertSettings;
import org.cellherd.alert.state.Pulse;
import org.cellherd.alert.state.Teller;
import org.cellherd.alert.state.Words;
import org.cellherd.analysis.state.State;
import org.cellherd.pack.SessionStart;

/** Single notices that have no state: a restart, a test. */
final class Notices {
  private final String pack;
  private final AlertSettings settings;
  private long session;
  private long tests;

  Notices(String pack, AlertSettings settings) {
    this.pack = pack;
    this.settings = settings;
  }

  /** Where a log does not go on from an orderly end: what was missed, and what is active. */
  void restarted(
      SessionStart start, AlertClock clock, List<Alert> standing, Pulse pulse, Teller teller) {
    boolean wanted = settings.rule(Restarted.ID).enabled();
    if (start.before() == SessionStart.Before.ENDED || !wanted) {
      return;
    }
    String id = pack + "." + Restarted.ID.word() + "." + start.session() + "-1";
    teller.tell(notice(id, Restarted.ID, words(start, clock, standing, pulse), pulse));
  }

  private static Words words(
      SessionStart start, AlertClock clock, List<Alert> standing, Pulse pulse) {
    return start.before() == SessionStart.Before.COPIED
        ? Restarted.fromCopy(clock.endBeforeStartMs(), standing, pulse)
        : Restarted.words(clock.quietBeforeStartMs(), standing, pulse);
  }

  /** The same words in the same run are the same event. */
  AlertEvent store(String what, String step, Pulse pulse) {
    String number = pulse.session() + "-n" + Integer.toHexString(what.hashCode());
    String id = pack + "." + StoreFault.ID.word() + "." + number;
    return notice(id, StoreFault.ID, StoreFault.notice(what, step), pulse);
  }

  AlertEvent test(String by, Pulse pulse) {
    if (session != pulse.session()) {
      session = pulse.session();
      tests = 0;
    }
    tests++;
    String id = pack + "." + TestAlert.ID.word() + "." + session + "-" + tests;
    return notice(id, TestAlert.ID, TestAlert.words(by), pulse);
  }

  private AlertEvent notice(String id, RuleId rule, Words words, Pulse pulse) {
    Alert alert =
        new Alert(
            id,
            new AlertKey(pack, rule, 0),
            AlertState.NORMAL,
            settings.rule(rule).priority(),
            pulse.timeMs(),
            pulse.timeMs(),
            Double.NaN,
            Double.NaN,
            "",
            words.what(),
            words.firstStep(),
            words.evidence(),
            Optional.empty(),
            pulse.clockSure());
    return new AlertEvent(id + ":" + Change.NOTICE.word(), Change.NOTICE, alert);
  }

  /** An alert that nothing judges any more: its rule was switched off, its cell or pack is gone. */
  static AlertEvent gone(Alert alert, String why, Pulse pulse) {
    String reason = why.isEmpty() ? "" : ": " + why;
    Alert over =
        new Alert(
            alert.id(),
            alert.key(),
            AlertState.NORMAL,
            alert.priority(),
            alert.sinceMs(),
            pulse.timeMs(),
            alert.value(),
            alert.limit(),
            alert.unit(),
            "No longer watched" + reason + ". Last reported: " + alert.text(),
            "",
            alert.evidence(),
            alert.acknowledgedBy(),
            pulse.clockSure());
    return new AlertEvent(alert.id() + ":gone", Change.CLEARED, over);
  }

  void state(State io) {
    session = io.number(session);
    tests = io.number(tests);
  }
}
