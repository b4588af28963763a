package org.cellherd.app.verb;

import java.time.ZoneId;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalLong;
import java.util.Set;
import java.util.concurrent.Callable;
import org.cellherd.alert.Alert;
import org.cellherd.alert.AlertEvent;
import org.cellherd.alert.AlertState;
import org.cellherd.alert.rule.WrongBoard;
import org.cellherd.alert.state.AlertText;
import org.cellherd.app.ExitCode;
import org.cellherd.app.Stop;
import org.cellherd.app.SystemTime;
import org.cellherd.app.daemon.Daemon;
import org.cellherd.pack.Facts;
import org.cellherd.pack.SpokenTime;
import org.cellherd.pack.StorageFailure;
import org.cellherd.report.TextTable;
import org.cellherd.store.LogFile;
import org.cellherd.store.Remarks;
import org.cellherd.store.StoredEvent;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;
import picocli.CommandLine.ParentCommand;
import picocli.CommandLine.Spec;

@Command(
    name = "alerts",
    mixinStandardHelpOptions = true,
    subcommands = {AlertsVerb.Ack.class, AlertsTestVerb.class},
    header = "Active and past alerts; acknowledge one, test the path.",
    description =
        "Lists the active alerts, or with --from or --all the events of the past. \"alerts ack "
            + "ID\" records that somebody has seen one.")
final class AlertsVerb implements Callable<Integer> {

  private static final long FOLLOW_NANOS = 1_000_000_000L;

  @Mixin private LogOptions log;
  @Mixin private SpanOptions span;
  @Mixin private AlertFilter filter;
  @Mixin private AnswerOutput output;

  @Option(names = "--all", description = "All events of the log, not only active alerts.")
  private boolean all;

  @Option(
      names = "--follow",
      description = "Keep running and print events as they come, a line each.")
  private boolean follow;

  @Override
  public Integer call() throws InterruptedException, StorageFailure {
    filter.check();
    SystemTime time = new SystemTime();
    OptionalLong from = span.fromMs(time, log.zone());
    try (LogFile file = log.openForReading()) {
      if (follow) {
        follow(file, time, from.orElse(time.wallMs()));
      } else if (all || from.isPresent()) {
        OptionalLong to = span.toMs(time, log.zone());
        printEvents(events(file, from.orElse(Long.MIN_VALUE), to.orElse(Long.MAX_VALUE)));
      } else {
        ZoneId zone = AlertText.zone(file.alertLog().standing(), log.zone());
        printStanding(
            StandingAsRead.of(file, time.wallMs(), zone).stream()
                .filter(alert -> log.isAsked(alert.key().pack()))
                .filter(filter::takes)
                .toList(),
            file.remarks().waitingAcknowledgements(),
            zone);
        tellUnjudged(file);
      }
      return LogOptions.answered(file);
    }
  }

  private void follow(LogFile file, SystemTime time, long fromMs)
      throws StorageFailure, InterruptedException {
    Set<String> printed = new HashSet<>();
    while (!Thread.currentThread().isInterrupted()) {
      for (StoredEvent stored : events(file, fromMs, Long.MAX_VALUE)) {
        if (printed.add(stored.event().id())) {
          printNews(stored, AlertText.zone(List.of(stored.event().alert()), log.zone()));
        }
      }
      output.out().flush();
      time.sleepNanos(FOLLOW_NANOS);
    }
  }

  /** One line each, as JSON too: whoever reads need not wait for an end. */
  private void printNews(StoredEvent stored, ZoneId zone) {
    if (output.isJson()) {
      output.jsonLine(facts(stored));
    } else {
      output.line(String.join("  ", row(stored, zone)));
    }
  }

  private List<StoredEvent> events(LogFile file, long fromMs, long toMs) throws StorageFailure {
    return file.events(fromMs, toMs).stream()
        .filter(stored -> log.isAsked(stored.event().alert().key().pack()))
        .filter(stored -> filter.takes(stored.event().alert()))
        .toList();
  }

  private void printStanding(List<Alert> alerts, Map<String, String> seenBy, ZoneId zone) {
    if (output.isJson()) {
      output.json(alerts.stream().map(Alert::facts).toList());
      return;
    }
    if (alerts.isEmpty()) {
      output.line("No active alert.");
    }
    for (Alert alert : alerts) {
      output.line(String.join("  ", alert.priority().word(), alert.key().pack(), rule(alert)));
      output.line("    " + alert.text());
      if (!alert.firstStep().isEmpty()) {
        output.line("    first step: " + alert.firstStep());
      }
      output.line("    " + state(alert, Optional.ofNullable(seenBy.get(alert.id())), zone));
    }
    if (!alerts.isEmpty()) {
      output.zone(zone);
    }
  }

  /** Where no alert could be, "No active alert" would pass for a verdict. */
  private void tellUnjudged(LogFile file) throws StorageFailure {
    for (String pack : file.statistics().packs()) {
      if (log.isAsked(pack) && (file.watchedFromMs(pack).isPresent() || file.hasJudged(pack))) {
        return;
      }
    }
    output
        .err()
        .println(
            "All readings here were imported: their alerts are judged by \"cellherd import"
                + " --judge\" alone.");
  }

  /** The rule and, where it is one, the cell: words that --rule and --cell take. */
  private static String rule(Alert alert) {
    int cell = alert.key().cell();
    return alert.key().rule().word() + (cell == 0 ? "" : " cell " + cell);
  }

  /** Since when its cause is there, whatever became of the alert since, and who has seen it. */
  private static String state(Alert alert, Optional<String> justSeenBy, ZoneId zone) {
    boolean isOver = alert.state() == AlertState.RETURNED;
    String began = SpokenTime.second(alert.sinceMs(), zone);
    String since = isOver ? "over, began " + began : "active since " + began;
    if (justSeenBy.isPresent()) {
      return since + ", seen by " + justSeenBy.get() + " (the daemon will take it up)";
    }
    return since
        + alert
            .acknowledgedBy()
            .map(by -> ", seen by " + by)
            .orElse("; cellherd alerts ack " + alert.id());
  }

  private void printEvents(List<StoredEvent> events) {
    if (output.isJson()) {
      output.json(events.stream().map(AlertsVerb::facts).toList());
      return;
    }
    if (events.isEmpty()) {
      output.line("No event in this time.");
    }
    ZoneId zone =
        AlertText.zone(
            events.stream()
                .map(StoredEvent::event)
                .filter(event -> event.change() == AlertEvent.Change.RAISED)
                .map(AlertEvent::alert)
                .toList(),
            log.zone());
    TextTable table = new TextTable(0);
    events.forEach(event -> table.row(row(event, zone)));
    table.lines().forEach(output::line);
    if (!events.isEmpty()) {
      output.zone(zone);
    }
  }

  private String[] row(StoredEvent stored, ZoneId zone) {
    AlertEvent event = stored.event();
    return new String[] {
      SpokenTime.second(event.alert().timeMs(), zone),
      event.alert().key().pack(),
      event.alert().priority().word(),
      rule(event.alert()),
      event.change().spoken(),
      event.alert().text()
          + (stored.delivered() || log.mqtt().isEmpty() ? "" : "  (not yet at the broker)")
    };
  }

  private static Facts facts(StoredEvent stored) {
    return Facts.of().putAll(stored.event().facts()).put("delivered", stored.delivered()).build();
  }

  @Command(
      name = "ack",
      mixinStandardHelpOptions = true,
      description = "Records that somebody has seen this alert; its repeats stop.")
  static final class Ack implements Callable<Integer> {

    private static final String NOW_OWN =
        ", and the board that answers for %s is its own from now on";

    @Mixin private LogOptions own;

    @ParentCommand private AlertsVerb alerts;

    @Spec private CommandSpec spec;

    @Parameters(paramLabel = "ID", description = "The alert's id, as \"alerts\" prints it.")
    private String id;

    @Option(
        names = "--by",
        paramLabel = "NAME",
        converter = NameOption.class,
        description = "Who saw it.")
    private String by = System.getProperty("user.name", "somebody");

    @Option(
        names = "--new-board",
        description = "For a wrong-board alert: accept the board that answers as this pack's.")
    private boolean newBoard;

    @Override
    public Integer call() throws StorageFailure {
      // "alerts --db FILE ack ID" means the same as "alerts ack ID --db FILE".
      LogOptions log = own.isGiven() ? own : alerts.log;
      log.refuseCentre(LogOptions.ONLY_READ);
      Alert alert;
      try (LogFile file = log.openForReading()) {
        alert =
            file.alertLog().standing().stream()
                .filter(a -> a.id().equals(id))
                .findFirst()
                .orElseThrow(() -> Stop.usage(unknown(id)));
        if (log.hasLeft(alert)) {
          throw Stop.usage(left(alert));
        }
        if (newBoard && !alert.key().rule().equals(WrongBoard.ID)) {
          throw Stop.usage("--new-board goes with a wrong-board alert; this one is " + rule(alert));
        }
      }
      try (Remarks remarks = log.openForRemarks()) {
        long nowMs = new SystemTime().wallMs();
        remarks.acknowledge(id, by, nowMs);
        if (newBoard) {
          remarks.acknowledge(Daemon.boardRequest(alert.key().pack()), by, nowMs);
        }
        spec.commandLine()
            .getOut()
            .println(
                "Noted: "
                    + by
                    + " has seen it"
                    + (newBoard ? NOW_OWN.formatted(alert.key().pack()) : "")
                    + ". \"cellherd run\" takes it up within seconds, or when it starts.");
      }
      return ExitCode.DONE;
    }

    private static String unknown(String id) {
      return "no active alert has the id \"" + id + "\"; it may be over. See: cellherd alerts";
    }

    private static String left(Alert alert) {
      return "pack \""
          + alert.key().pack()
          + "\" is not in the config: nothing to acknowledge. \"cellherd run\" ends this alert as"
          + " no longer watched at its next start";
    }
  }
}
