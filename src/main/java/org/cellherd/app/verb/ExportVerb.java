package org.cellherd.app.verb;

import java.io.IOException;
import java.io.PrintWriter;
import java.io.UncheckedIOException;
import java.io.Writer;
import java.nio.file.Path;
import java.time.Duration;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.Callable;
import java.util.concurrent.atomic.AtomicLong;
import org.cellherd.analysis.fold.History;
import org.cellherd.app.FileCause;
import org.cellherd.app.Stop;
import org.cellherd.app.SystemTime;
import org.cellherd.pack.Channel;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;
import org.cellherd.pack.Spoken;
import org.cellherd.pack.StorageFailure;
import org.cellherd.protocol.ReadingCsv;
import org.cellherd.protocol.ReadingCsvWriter;
import org.cellherd.protocol.ThinnedReadings;
import org.cellherd.store.LogFile;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;

@Command(
    name = "export",
    mixinStandardHelpOptions = true,
    header = "Writes the readings of a pack as CSV.",
    description = "Every reading with every digit as it was stored, or with --every fewer of them.")
final class ExportVerb implements Callable<Integer> {

  @Mixin private LogOptions log;
  @Mixin private SpanOptions span;
  @Mixin private Output output;

  @Option(
      names = "--every",
      paramLabel = "TIME",
      converter = DurationOption.class,
      description = "One row for each interval, such as 30s, 5min or 1h; by UTC.")
  private @Nullable Duration every;

  @Option(
      names = "--last",
      description =
          "With --every: the last reading of each interval, at its own time (default: the mean, at "
              + "the interval's beginning; of switches and bit patterns the last). A current that "
              + "changes between two rows is missed: energy and charge need the mean.")
  private boolean last;

  @Option(
      names = "--decimal-comma",
      description = "Write 3,331 and separate by semicolons, as many spreadsheets want it.")
  private boolean decimalComma;

  @Parameters(
      arity = "0..1",
      paramLabel = "FILE",
      description = "The CSV file; else standard output.")
  private @Nullable Path target;

  @Override
  public Integer call() throws StorageFailure {
    if (last && every == null) {
      throw Stop.usage("--last needs --every, such as --every 5min");
    }
    PackPlan plan = log.pack().plan();
    String pack = plan.id();
    SystemTime time = new SystemTime();
    long from = span.fromMs(time, log.zone()).orElse(Long.MIN_VALUE);
    long to = span.toMs(time, log.zone()).orElse(Long.MAX_VALUE);
    try (LogFile file = log.openForReadingOfPack()) {
      History history = file.history();
      LoneInLog lone = new LoneInLog(plan);
      ReadingCsv all = columns(history, pack, from, to, lone);
      ReadingCsv columns = decimalComma ? all.withDecimalComma() : all;
      ReadingCsvWriter rows = new ReadingCsvWriter(columns);
      if (target == null || target.toString().equals("-")) {
        PrintWriter out = output.out();
        write(out, history, pack, from, to, columns, rows);
        out.flush();
      } else {
        WholeFile.write(target, out -> write(out, history, pack, from, to, columns, rows));
      }
      String doubt = lone.words(log.zone());
      if (!doubt.isEmpty()) {
        output.err().println(doubt);
      }
      return LogOptions.answered(file);
    } catch (IOException | UncheckedIOException cannot) {
      throw FileCause.unwritable(Path.of("-"), cannot);
    }
  }

  private void tellSkipped(long skipped, ReadingCsv columns) {
    boolean hasCurrent =
        columns.channels().stream().anyMatch(c -> c.kind() == Channel.Kind.CURRENT);
    if (last && skipped > 0 && hasCurrent) {
      output
          .err()
          .println(
              Spoken.counted(skipped, "reading")
                  + " left out between the rows, and with that what the current did:"
                  + " energy and charge reckoned from this file may be far off. Without --last each"
                  + " row is a mean.");
    }
  }

  /** Every channel that any reading has. */
  private static ReadingCsv columns(
      History history, String pack, long from, long to, LoneInLog lone) throws StorageFailure {
    List<Channel> all = ReadingCsv.of(Channel.MAX_NUMBER, Channel.MAX_NUMBER).channels();
    Set<Channel> unseen = new LinkedHashSet<>(all);
    history.replay(
        pack,
        from,
        to,
        entry -> {
          lone.take(entry);
          if (entry instanceof Reading reading) {
            unseen.removeIf(channel -> reading.value(channel).isPresent());
          }
        });
    return ReadingCsv.of(all.stream().filter(channel -> !unseen.contains(channel)).toList());
  }

  private void write(
      Writer out,
      History history,
      String pack,
      long from,
      long to,
      ReadingCsv columns,
      ReadingCsvWriter rows)
      throws IOException, StorageFailure {
    out.write(columns.headerLine() + "\n");
    Optional<ThinnedReadings> thinned =
        Optional.ofNullable(every)
            .map(
                e ->
                    new ThinnedReadings(
                        e.toMillis(), last ? ThinnedReadings.By.LAST : ThinnedReadings.By.MEAN));
    AtomicLong skipped = new AtomicLong();
    history.replay(
        pack,
        from,
        to,
        entry -> {
          if (entry instanceof Reading reading) {
            skipped.incrementAndGet();
            (thinned.isPresent() ? thinned.get().take(reading) : Optional.of(reading))
                .ifPresent(
                    row -> {
                      skipped.decrementAndGet();
                      write(out, rows.line(row));
                    });
          }
        });
    Optional<Reading> newest = thinned.flatMap(ThinnedReadings::end);
    newest.ifPresent(row -> write(out, rows.line(row)));
    tellSkipped(skipped.get() - (newest.isPresent() ? 1 : 0), columns);
  }

  private static void write(Writer out, String row) {
    try {
      out.write(row);
      out.write('\n');
    } catch (IOException full) {
      throw new UncheckedIOException(full);
    }
  }
}
