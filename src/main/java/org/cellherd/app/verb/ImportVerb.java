package org.cellherd.app.verb;

import java.io.IOException;
import java.nio.file.Path;
import java.time.ZoneId;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.Callable;
import org.cellherd.alert.Alert;
import org.cellherd.alert.Priority;
import org.cellherd.analysis.SignState;
import org.cellherd.app.ExitCode;
import org.cellherd.app.FileCause;
import org.cellherd.app.Stop;
import org.cellherd.app.SystemTime;
import org.cellherd.app.config.PackConfig;
import org.cellherd.app.daemon.Refold;
import org.cellherd.pack.Facts;
import org.cellherd.pack.Reading;
import org.cellherd.pack.Spoken;
import org.cellherd.pack.SpokenTime;
import org.cellherd.pack.StorageFailure;
import org.cellherd.protocol.CsvLines;
import org.cellherd.protocol.ReadingCsv;
import org.cellherd.protocol.ReadingCsvReader;
import org.cellherd.store.Importer;
import org.cellherd.store.LogFile;
import org.cellherd.toml.Problems;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;

@Command(
    name = "import",
    mixinStandardHelpOptions = true,
    header = "Brings the readings of any logger into the log, from CSV.",
    description =
        "The columns are time,current_a,pack_v,cell_1_v,...,temp_1_c,...; only time must be "
            + "there, and current_a is positive while the pack is charged. Between semicolons "
            + "numbers may have a decimal comma.")
final class ImportVerb implements Callable<Integer> {

  @Mixin private LogOptions log;
  @Mixin private AnswerOutput output;

  @Option(names = "--ignore-columns", description = "Skip unknown columns.")
  private boolean ignoreColumns;

  @Option(
      names = "--discharge-positive",
      description = "In this file current_a is positive while the pack is discharged.")
  private boolean isDischargePositive;

  @Option(
      names = "--zone",
      paramLabel = "ZONE",
      converter = ZoneOption.class,
      description =
          "Times without an offset are by the clock of this zone, such as Europe/Berlin; without "
              + "it they are refused.")
  private @Nullable ZoneId zone;

  @Option(
      names = "--anyway",
      description =
          "Import although the rows contradict the plan or the columns' units, or are later than"
              + " now in the log of a watched pack.")
  private boolean anyway;

  @Option(
      names = "--judge",
      description =
          "Also judge the pack's imported readings by the alert rules. \"alerts --all\" lists what"
              + " they give; nothing is published.")
  private boolean judge;

  @Parameters(paramLabel = "FILE", description = "The CSV file; - for standard input.")
  private Path source;

  private final long nowMs = new SystemTime().wallMs();
  private final Problems problems = new Problems();

  @Override
  public Integer call() throws StorageFailure {
    log.refuseCentre(LogOptions.ONLY_READ);
    PackConfig pack = log.pack();
    try (CsvLines lines = CsvSource.open(source)) {
      ImportFit fit = new ImportFit(pack.plan(), nowMs);
      store(new ImportRows(source, lines, header(lines), fit, anyway), pack);
    } catch (IOException unreadable) {
      throw FileCause.unreadable(source, unreadable);
    }
    if (!problems.isEmpty()) {
      throw Stop.usage(problems.toString());
    }
    return ExitCode.DONE;
  }

  private ReadingCsvReader header(CsvLines in) throws IOException {
    String line =
        in.next()
            .orElseThrow(
                () -> Stop.usage(source + ": is empty; the first line must name the columns"));
    Optional<ZoneId> clock = Optional.ofNullable(zone);
    return ReadingCsv.ofHeader(source.toString(), line, ignoreColumns, problems)
        .map(columns -> new ReadingCsvReader(source.toString(), columns, clock, problems))
        .orElseThrow(() -> Stop.usage(problems.toString()));
  }

  /** Stores the rows as they are read; where their file ends too early, what came before. */
  private void store(ImportRows rows, PackConfig pack) throws StorageFailure {
    List<Reading> some = rows.next();
    String id = pack.plan().id();
    try (LogFile log = this.log.openForWriting()) {
      boolean isWatched = log.watchedFromMs(id).isPresent();
      Optional<Refold> fold = Refold.ofNew(log, pack, judge);
      Optional<Stop> end = Optional.empty();
      Importer.Counts counts;
      try (Importer importer = log.importer(id)) {
        try {
          for (; !some.isEmpty(); some = rows.next()) {
            rows.refuse(isWatched ? later(rows.fit()) : List.of());
            for (Reading read : some) {
              Reading row = isDischargePositive ? turned(read) : read;
              if (importer.add(row)) {
                fold.ifPresent(all -> all.take(row));
              }
            }
          }
        } catch (Stop early) {
          end = Optional.of(early);
        }
        counts = importer.counts();
      }
      if (end.isPresent() && counts.stored() == 0) {
        throw end.get();
      }
      tellFit(rows.fit());
      Refold.Outcome found = fold.isPresent() ? fold.get().store() : Refold.run(log, pack, judge);
      report(rows.counts(), counts, rows.fit().later(), found);
      if (end.isPresent()) {
        Stop early = end.get();
        throw problems.isEmpty()
            ? early
            : new Stop(early.exitCode(), problems + "\n" + early.getMessage());
      }
    }
  }

  private static Reading turned(Reading read) {
    Reading.Builder turned = read.toBuilder();
    read.currentMa().ifPresent(ma -> turned.currentMa(-ma));
    return turned.build();
  }

  /**
   * Rows later than now are taken into a log of its own, as that of a simulated year. In the log of
   * a pack that is watched they would stand before all that is read from now on.
   */
  private List<String> later(ImportFit fit) {
    return fit.later() == 0
        ? List.of()
        : List.of(
            fit.later()
                + (fit.later() == 1 ? " row is" : " rows are")
                + " later than now, up to "
                + SpokenTime.second(fit.latestMs(), log.zone())
                + (zone == null ? ": is the file's time local, so that it needs --zone?" : "."));
  }

  private void tellFit(ImportFit fit) {
    fit.fewer().ifPresent(fewer -> output.err().println(source + ": " + fewer));
    for (String told : later(fit)) {
      output.err().println(source + ": " + told + " \"cellherd redate\" moves what was stored");
    }
  }

  private void report(
      ReadingCsvReader.Counts read, Importer.Counts counts, long later, Refold.Outcome found) {
    List<Alert> alerts = found.alerts();
    if (output.isJson()) {
      Facts.Builder facts =
          Facts.of()
              .put("rows", read.rows())
              .put("stored", counts.stored())
              .put("doubled", counts.doubled())
              .put("out_of_order", counts.outOfOrder())
              .put("in_watched_time", counts.watched())
              .put("in_damaged_hours", counts.amongDamaged())
              .put("later_than_now", later)
              .put("refused", read.refused())
              .put("in_an_hour_shown_twice", read.ambiguous())
              .put("values_rounded", read.beyondResolution())
              .put("current_sign", found.sign().word());
      if (judge) {
        facts.put("alerts", alerts.size()).put("critical_alerts", critical(alerts));
      } else {
        facts.putUnknown("alerts").putUnknown("critical_alerts");
      }
      output.json(facts.build());
      return;
    }
    boolean isBare = read.rows() == 0 && read.refused() == 0;
    output.line(
        Spoken.counted(counts.stored(), "reading")
            + " stored"
            + (isBare ? ": the file has no row below its header" : ""));
    tell(counts.doubled(), "not stored: the time of a reading that is there");
    tell(
        counts.outOfOrder(),
        "not stored: older than a row before; sort the file by time and import it again");
    tell(counts.watched(), "not stored: between readings that \"cellherd run\" took itself");
    tell(counts.amongDamaged(), "not stored: in an hour whose readings are damaged in the log");
    tell(read.refused(), "refused");
    tell(
        read.ambiguous(),
        "in an hour that clocks of " + zone + " show twice, taken in the order of the rows");
    tellAlerts(counts, alerts);
    if (read.beyondResolution() > 0) {
      output.line(
          Spoken.counted(read.beyondResolution(), "value") + " rounded: more digits than are kept");
    }
    if (found.sign() == SignState.INVERTED) {
      output.line(
          "The current has the wrong sign: voltages fall when it rises. Import into a new log "
              + (isDischargePositive ? "without" : "with")
              + " --discharge-positive.");
    }
  }

  private void tellAlerts(Importer.Counts counts, List<Alert> alerts) {
    if (judge) {
      output.line(
          alerts.isEmpty()
              ? "The alert rules found nothing in the imported readings."
              : found(alerts.size(), critical(alerts)) + "; \"alerts --all\" lists them");
    } else if (counts.stored() > 0) {
      output.line("No alerts were judged; --judge does that.");
    }
  }

  /** "One alert in the imported readings, not critical", "3 alerts …, 2 of them critical". */
  private static String found(long all, long critical) {
    String which = critical == all ? "all" : critical == 0 ? "none" : Long.toString(critical);
    return (all == 1 ? "One alert" : Spoken.counted(all, "alert"))
        + " in the imported readings, "
        + (all > 1 ? which + " of them critical" : critical == 1 ? "critical" : "not critical");
  }

  private static long critical(List<Alert> alerts) {
    return alerts.stream().filter(a -> a.priority() == Priority.CRITICAL).count();
  }

  private void tell(long count, String what) {
    if (count > 0) {
      output.line(Spoken.counted(count, "row") + " " + what);
    }
  }
}
