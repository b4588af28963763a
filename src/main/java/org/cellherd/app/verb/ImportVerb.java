package org.cellherd.app.verb;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.nio.charset.MalformedInputException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Optional;
import java.util.concurrent.Callable;
import org.cellherd.app.ExitCode;
import org.cellherd.app.FileCause;
import org.cellherd.app.Stop;
import org.cellherd.app.config.PackConfig;
import org.cellherd.app.daemon.Refold;
import org.cellherd.pack.Facts;
import org.cellherd.pack.Reading;
import org.cellherd.pack.StorageFailure;
import org.cellherd.protocol.ReadingCsv;
import org.cellherd.protocol.ReadingCsvReader;
import org.cellherd.store.ImportCounts;
import org.cellherd.store.Importer;
import org.cellherd.store.LogFile;
import org.cellherd.toml.Problems;
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
            + "there.")
final class ImportVerb implements Callable<Integer> {

  @Mixin private LogOptions log;
  @Mixin private AnswerOutput output;

  @Option(names = "--ignore-columns", description = "Skip columns that are none of ours.")
  private boolean ignoreColumns;

  @Parameters(paramLabel = "FILE", description = "The CSV file; - for standard input.")
  private Path source;

  private final Problems problems = new Problems();

  @Override
  public Integer call() {
    PackConfig pack = log.pack();
    try (BufferedReader in = reader();
        LogFile file = log.openForWriting()) {
      ReadingCsvReader rows = header(in);
      ImportCounts counts;
      try (Importer importer = file.importer(pack.plan().id())) {
        read(in, rows, importer);
        counts = importer.counts();
      }
      Refold.run(file, pack);
      report(rows.counts(), counts);
    } catch (StorageFailure failure) {
      throw LogOptions.storeStop(failure);
    } catch (MalformedInputException notText) {
      throw new Stop(ExitCode.USAGE, source + ": is no UTF-8 text");
    } catch (IOException unreadable) {
      throw FileCause.unreadable(source, unreadable);
    }
    if (!problems.isEmpty()) {
      throw new Stop(ExitCode.USAGE, problems + "\n(the other rows were stored)");
    }
    return ExitCode.DONE;
  }

  private BufferedReader reader() throws IOException {
    if (source.toString().equals("-")) {
      return new BufferedReader(new InputStreamReader(System.in, StandardCharsets.UTF_8));
    }
    if (!Files.isRegularFile(source)) {
      throw new Stop(ExitCode.USAGE, source + ": there is no such file");
    }
    return Files.newBufferedReader(source, StandardCharsets.UTF_8);
  }

  private ReadingCsvReader header(BufferedReader in) throws IOException {
    String line = in.readLine();
    if (line == null) {
      throw new Stop(ExitCode.USAGE, source + ": is empty; the first line must name the columns");
    }
    return ReadingCsv.ofHeader(source.toString(), line, ignoreColumns, problems)
        .map(columns -> new ReadingCsvReader(source.toString(), columns, problems))
        .orElseThrow(() -> new Stop(ExitCode.USAGE, problems.toString()));
  }

  private static void read(BufferedReader in, ReadingCsvReader rows, Importer importer)
      throws IOException, StorageFailure {
    int number = 2;
    for (String line = in.readLine(); line != null; line = in.readLine()) {
      Optional<Reading> reading = rows.read(number, line);
      if (reading.isPresent()) {
        importer.add(reading.get());
      }
      number++;
    }
  }

  private void report(ReadingCsvReader.Counts read, ImportCounts counts) {
    if (output.isJson()) {
      output.json(
          Facts.of()
              .put("rows", read.rows())
              .put("stored", counts.stored())
              .put("doubled", counts.doubled())
              .put("out_of_order", counts.outOfOrder())
              .put("refused", read.refused())
              .put("values_rounded", read.beyondResolution())
              .build());
      return;
    }
    output.line(counts.stored() + " readings stored");
    tell(counts.doubled(), "were there already");
    tell(counts.outOfOrder(), "are older than a row before them, not stored");
    tell(read.refused(), "refused");
    if (counts.stored() > 0) {
      output.line("Alerts are judged while the pack is watched: none come of an import.");
    }
    if (read.beyondResolution() > 0) {
      output.line(read.beyondResolution() + " values had more digits than are kept, rounded");
    }
  }

  private void tell(long count, String what) {
    if (count > 0) {
      output.line(count + " rows " + what);
    }
  }
}
