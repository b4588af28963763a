package org.cellherd.app.verb;

import java.io.IOException;
import java.io.PrintWriter;
import java.io.UncheckedIOException;
import java.io.Writer;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.Callable;
import org.cellherd.analysis.fold.History;
import org.cellherd.app.ExitCode;
import org.cellherd.app.FileCause;
import org.cellherd.app.Stop;
import org.cellherd.app.SystemTime;
import org.cellherd.pack.Channel;
import org.cellherd.pack.Reading;
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

/** {@code cellherd export}. */
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
              + "the interval's beginning; of switches and bit patterns the last).")
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
  public Integer call() {
    if (last && every == null) {
      throw new Stop(ExitCode.USAGE, "--last needs --every, such as --every 5min");
    }
    String pack = log.pack().plan().id();
    SystemTime time = new SystemTime();
    long from = span.fromMs(time, log.zone()).orElse(Long.MIN_VALUE);
    long to = span.toMs(time, log.zone()).orElse(Long.MAX_VALUE);
    try (LogFile file = log.openForReading()) {
      History history = file.history();
      ReadingCsv all = columns(history, pack, from, to);
      ReadingCsv columns = decimalComma ? all.withDecimalComma() : all;
      ReadingCsvWriter rows = new ReadingCsvWriter(columns);
      if (target == null || target.toString().equals("-")) {
        PrintWriter out = output.out();
        write(out, history, pack, from, to, columns, rows);
        out.flush();
      } else {
        try (Writer out = Files.newBufferedWriter(target, StandardCharsets.UTF_8)) {
          write(out, history, pack, from, to, columns, rows);
        }
      }
      return LogOptions.answered(file);
    } catch (StorageFailure failure) {
      throw LogOptions.storeStop(failure);
    } catch (IOException | UncheckedIOException cannot) {
      Path where = target == null ? Path.of("-") : target;
      throw FileCause.unwritable(where, cannot);
    }
  }

  /** Every channel that any reading has. */
  private static ReadingCsv columns(History history, String pack, long from, long to)
      throws StorageFailure {
    List<Channel> all = ReadingCsv.of(Channel.MAX_NUMBER, Channel.MAX_NUMBER).channels();
    Set<Channel> unseen = new LinkedHashSet<>(all);
    history.replay(
        pack,
        from,
        to,
        entry -> {
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
    history.replay(
        pack,
        from,
        to,
        entry -> {
          if (entry instanceof Reading reading) {
            (thinned.isPresent() ? thinned.get().take(reading) : Optional.of(reading))
                .ifPresent(row -> write(out, rows.line(row)));
          }
        });
    thinned.flatMap(ThinnedReadings::end).ifPresent(row -> write(out, rows.line(row)));
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
