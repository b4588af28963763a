package org.cellherd.alert.engine;

import java.util.List;
import java.util.Optional;
import java.util.stream.Collectors;
import org.cellherd.alert.Alert;
import org.cellherd.alert.AlertEvent;
import org.cellherd.alert.AlertEvent.Change;
import org.cellherd.alert.AlertKey;
import org.cellherd.alert.AlertState;
import org.cellherd.alert.RuleId;
import org.cellherd.alert.setting.AlertSettings;
import org.cellherd.alert.state.AlertText;
import org.cellherd.alert.state.Pulse;
import org.cellherd.alert.state.Teller;
import org.cellherd.analysis.state.State;
import org.cellherd.pack.Facts;
import org.cellherd.pack.SessionStart;
import org.cellherd.pack.Spoken;

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

  /** After a run that did not shut down cleanly: what was missed, and what is active. */
  void restarted(
      SessionStart start, long quietMs, List<Alert> standing, Pulse pulse, Teller teller) {
    boolean wanted = settings.rule(RuleId.RESTARTED).enabled();
    if (start.clean() || !wanted) {
      return;
    }
    String gap =
        quietMs < 0
            ? "for an unknown time"
            : "for "
                + Spoken.duration(quietMs)
                + " from "
                + AlertText.time(pulse.timeMs() - quietMs, pulse.timeMs(), pulse.zone());
    String text =
        "The program did not shut down cleanly and is running again. Nothing was watched "
            + gap
            + ". "
            + open(standing);
    Facts evidence =
        Facts.of()
            .put("session", start.session())
            .put("gap_s", quietMs < 0 ? Double.NaN : quietMs / 1000.0, 1)
            .put("open_alerts", standing.stream().map(Alert::id).toList())
            .build();
    String id = pack + "." + RuleId.RESTARTED.word() + "." + start.session() + "-1";
    String step = "Look what stopped it: power, memory, storage.";
    teller.tell(notice(id, RuleId.RESTARTED, text, step, evidence, pulse));
  }

  private static String open(List<Alert> standing) {
    if (standing.isEmpty()) {
      return "No alert stands.";
    }
    return "Standing: "
        + standing.stream().map(a -> a.key().topic()).collect(Collectors.joining(", "))
        + ".";
  }

  /** The same words in the same run are the same event. */
  AlertEvent store(String what, Pulse pulse) {
    String number = pulse.session() + "-n" + Integer.toHexString(what.hashCode());
    String id = pack + "." + RuleId.STORE.word() + "." + number;
    String step = "Back up the log now and check the card or disk.";
    return notice(id, RuleId.STORE, what, step, Facts.NONE, pulse);
  }

  AlertEvent test(String by, Pulse pulse) {
    if (session != pulse.session()) {
      session = pulse.session();
      tests = 0;
    }
    tests++;
    String id = pack + "." + RuleId.TEST.word() + "." + session + "-" + tests;
    return notice(
        id,
        RuleId.TEST,
        "This is a test, asked for by " + by.replaceAll("\\p{Cntrl}", " ") + ". Nothing is wrong.",
        "Nothing to do.",
        Facts.NONE,
        pulse);
  }

  private AlertEvent notice(
      String id, RuleId rule, String text, String step, Facts evidence, Pulse pulse) {
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
            text,
            step,
            evidence,
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
