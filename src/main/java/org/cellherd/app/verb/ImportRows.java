package org.cellherd.app.verb;

import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.cellherd.app.FileCause;
import org.cellherd.app.Stop;
import org.cellherd.pack.Reading;
import org.cellherd.protocol.CsvLines;
import org.cellherd.protocol.ReadingCsvReader;

/**
 * The rows of a file, read once: so many at a time, in which nothing may contradict before they are
 * handed out. One thread.
 */
final class ImportRows {

  /** Some 5 MB of readings. */
  static final int AT_A_TIME = 1 << 14;

  private final Path source;
  private final CsvLines lines;
  private final ReadingCsvReader reader;
  private final ImportFit fit;
  private final boolean anyway;
  private int line = 1;
  private int firstLine = 2;

  /**
   * The rows behind a header.
   *
   * @param anyway true to hand them out whatever contradicts
   */
  ImportRows(Path source, CsvLines lines, ReadingCsvReader reader, ImportFit fit, boolean anyway) {
    this.source = source;
    this.lines = lines;
    this.reader = reader;
    this.fit = fit;
    this.anyway = anyway;
  }

  /**
   * The next rows; none at the end of the file.
   *
   * @throws Stop when most rows contradict, or the file cannot be read
   */
  List<Reading> next() {
    firstLine = line + 1;
    List<Reading> rows = new ArrayList<>();
    try {
      Optional<String> text = lines.next();
      while (text.isPresent()) {
        reader.read(++line, text.get()).ifPresent(rows::add);
        text = rows.size() < AT_A_TIME ? lines.next() : Optional.empty();
      }
    } catch (IOException unreadable) {
      Stop cause = FileCause.unreadable(source, unreadable);
      throw firstLine == 2 ? cause : new Stop(cause.exitCode(), cause.getMessage() + "\n" + kept());
    }
    rows.forEach(fit::add);
    refuse(fit.problems());
    return rows;
  }

  /** Ends all where something contradicts, before the rows handed out last are stored. */
  void refuse(List<String> contradictions) {
    if (!contradictions.isEmpty() && !anyway) {
      String all = String.join("\n" + source + ": ", contradictions);
      throw Stop.usage(source + ": " + all + "\n" + kept() + "; --anyway imports it as it is.");
    }
  }

  private String kept() {
    return firstLine == 2
        ? "Nothing was stored"
        : "Only the rows before line " + firstLine + " were stored";
  }

  /** What was seen of them so far. */
  ImportFit fit() {
    return fit;
  }

  /** What the reader met so far. */
  ReadingCsvReader.Counts counts() {
    return reader.counts();
  }
}
