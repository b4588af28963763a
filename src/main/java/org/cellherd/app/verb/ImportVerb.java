package org.cellherd.app.verb;

import java.io.IOException;
import java.nio.file.Path;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.Callable;
import org.cellherd.alert.Alert;
import org.cellherd.alert.Priority;
import org.cellherd.app.ExitCode;
import org.cellherd.app.FileCause;
import org.cellherd.app.Stop;
import org.cellherd.app.SystemTime;
import org.cellherd.app.config.PackConfig;
import org.cellherd.app.daemon.Refold;
import org.cellherd.pack.Facts;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;
import org.cellherd.pack.SpokenTime;
import org.cellherd.pack.StorageFailure;
import org.cellherd.protocol.CsvLines;
import org.cellherd.protocol.ReadingCsv;
import org.cellherd.protocol.ReadingCsvReader;
import org.cellherd.store.ImportCounts;
import org.cellherd.store.Importer;
import org.cellherd.store.LogFile;
import org.cellherd.toml.Problems;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;

/** {@code cellherd import}. */
@Command(
    name = "import",
    mixinStandardHelpOptions = true,
    header = "Brings the readings of any logger into the log, from CSV.",
    description =
        "The columns are time,current_a,pack_v,cell_1_v,...,temp_1_c,...; only time must be "
            + "there. Between semicolons numbers may have a decimal comma.")
final class ImportVerb implements Callable<Integer> {

  @Mixin private LogOptions log;
  @Mixin private AnswerOutput output;

  @Option(names = "--ignore-columns", description = "Skip columns that are none of ours.")
  private boolean ignoreColumns;

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
      description = "Import although the first rows contradict the plan or the columns' units.")
  private boolean anyway;

  @Option(
      names = "--judge",
      description =
          "Also judge the pack's imported readings by the alert rules. \"alerts --all\" lists what"
              + " they give; nothing is published.")
  private boolean judge;

  @Parameters(paramLabel = "FILE", description = "The CSV file; - for standard input.")
  private Path source;

  private static final String LATER =
      ": is the file's time local, so that it needs --zone? \"cellherd redate\" moves what was"
          + " stored";

  /** Half an hour at a usual pace: enough to see units, few enough to hold. */
  private static final int FIRST_ROWS = 500;

  private final Problems problems = new Problems();
  private final long nowMs = new SystemTime().wallMs();
  private int number = 1;
  private long later;
  private long latestMs = Long.MIN_VALUE;

  @Override
  public Integer call() {
    log.refuseCentre(LogOptions.ONLY_READ);
    PackConfig pack = log.pack();
    try (CsvLines in = CsvSource.open(source)) {
      ReadingCsvReader rows = header(in);
      List<Reading> first = first(in, rows);
      check(first, pack.plan());
      store(in, rows, first, pack);
    } catch (StorageFailure failure) {
      throw LogOptions.storeStop(failure);
    } catch (IOException unreadable) {
      throw FileCause.unreadable(source, unreadable);
    }
    if (!problems.isEmpty()) {
      throw new Stop(ExitCode.USAGE, problems + "\n(the other rows were stored)");
    }
    return ExitCode.DONE;
  }

  private ReadingCsvReader header(CsvLines in) throws IOException {
    String line =
        in.next()
            .orElseThrow(
                () ->
                    new Stop(
                        ExitCode.USAGE,
                        source + ": is empty; the first line must name the columns"));
    Optional<ZoneId> clock = Optional.ofNullable(zone);
    return ReadingCsv.ofHeader(source.toString(), line, ignoreColumns, problems)
        .map(columns -> new ReadingCsvReader(source.toString(), columns, clock, problems))
        .orElseThrow(() -> new Stop(ExitCode.USAGE, problems.toString()));
  }

  /** The first rows, looked at before anything is stored. */
  private List<Reading> first(CsvLines in, ReadingCsvReader rows) throws IOException {
    List<Reading> first = new ArrayList<>();
    Optional<String> line = in.next();
    while (line.isPresent()) {
      rows.read(++number, line.get()).ifPresent(first::add);
      line = number < FIRST_ROWS ? in.next() : Optional.empty();
    }
    return first;
  }

  private void check(List<Reading> first, PackPlan plan) {
    List<String> contradictions = ImportFit.problems(first, plan);
    if (!contradictions.isEmpty() && !anyway) {
      throw new Stop(
          ExitCode.USAGE,
          source
              + ": "
              + String.join("\n" + source + ": ", contradictions)
              + "\nNothing was stored; --anyway imports it as it is.");
    }
    ImportFit.fewer(first, plan).ifPresent(f -> output.err().println(source + ": " + f));
  }

  private void store(CsvLines in, ReadingCsvReader rows, List<Reading> first, PackConfig pack)
      throws IOException, StorageFailure {
    try (LogFile file = log.openForWriting()) {
      ImportCounts counts;
      try (Importer importer = file.importer(pack.plan().id())) {
        for (Reading reading : first) {
          add(reading, importer);
        }
        for (Optional<String> line = in.next(); line.isPresent(); line = in.next()) {
          Optional<Reading> reading = rows.read(++number, line.get());
          if (reading.isPresent()) {
            add(reading.get(), importer);
          }
        }
        counts = importer.counts();
      }
      report(rows.counts(), counts, judged(file, pack));
    }
  }

  private void add(Reading reading, Importer importer) throws StorageFailure {
    later += reading.timeMs() > nowMs ? 1 : 0;
    latestMs = Math.max(latestMs, reading.timeMs());
    importer.add(reading);
  }

  /** Folds the whole log anew, and judges it where asked. */
  private List<Alert> judged(LogFile file, PackConfig pack) throws StorageFailure {
    if (judge) {
      return Refold.judge(file, pack);
    }
    Refold.run(file, pack);
    return List.of();
  }

  private void report(ReadingCsvReader.Counts read, ImportCounts counts, List<Alert> alerts) {
    if (output.isJson()) {
      Facts.Builder facts =
          Facts.of()
              .put("rows", read.rows())
              .put("stored", counts.stored())
              .put("doubled", counts.doubled())
              .put("out_of_order", counts.outOfOrder())
              .put("later_than_now", later)
              .put("refused", read.refused())
              .put("in_an_hour_shown_twice", read.ambiguous())
              .put("values_rounded", read.beyondResolution());
      if (judge) {
        facts.put("alerts", alerts.size()).put("critical_alerts", critical(alerts));
      } else {
        facts.putUnknown("alerts").putUnknown("critical_alerts");
      }
      output.json(facts.build());
      return;
    }
    output.line(counts.stored() + " readings stored");
    tell(counts.doubled(), "were there already");
    tell(counts.outOfOrder(), "are older than a row before them, not stored");
    tell(later, "are later than now, up to " + SpokenTime.second(latestMs, log.zone()) + LATER);
    tell(read.refused(), "refused");
    tell(
        read.ambiguous(),
        "lie in an hour that clocks of " + zone + " show twice; taken in the order of the rows");
    tellAlerts(counts, alerts);
    if (read.beyondResolution() > 0) {
      output.line(read.beyondResolution() + " values had more digits than are kept, rounded");
    }
  }

  private void tellAlerts(ImportCounts counts, List<Alert> alerts) {
    if (judge) {
      output.line(
          alerts.isEmpty()
              ? "The alert rules found nothing in the imported readings."
              : alerts.size()
                  + " alerts in the imported readings, "
                  + critical(alerts)
                  + " of them critical; \"alerts --all\" lists them");
    } else if (counts.stored() > 0) {
      output.line("No alerts were judged; --judge does that.");
    }
  }

  private static long critical(List<Alert> alerts) {
    return alerts.stream().filter(a -> a.priority() == Priority.CRITICAL).count();
  }

  private void tell(long count, String what) {
    if (count > 0) {
      output.line(count + " rows " + what);
    }
  }
}
