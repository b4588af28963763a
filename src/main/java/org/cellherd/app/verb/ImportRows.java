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
 * handed out. Those from which on most contradict wait for what follows them. One thread.
 */
final class ImportRows {

  /** Some 5 MB of readings. */
  static final int AT_A_TIME = 1 << 14;

  private record Row(int line, Reading reading) {}

  private final Path source;
  private final CsvLines lines;
  private final ReadingCsvReader reader;
  private final ImportFit fit;
  private final boolean anyway;
  private final List<Row> rows = new ArrayList<>();
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
    firstLine = rows.isEmpty() ? line + 1 : rows.get(0).line();
    boolean isEnd = read();
    int settled = isEnd || anyway ? rows.size() : settled();
    // As many as are held at a time wait for no more of them.
    boolean isDecided = isEnd || settled == 0;
    refuse(fit.problems(isDecided));
    List<Row> out = isDecided ? rows : rows.subList(0, settled);
    List<Reading> next = out.stream().map(Row::reading).toList();
    out.clear();
    return next;
  }

  /** Fills up the rows; true at the end of the file. */
  private boolean read() {
    try {
      while (rows.size() < AT_A_TIME) {
        Optional<String> text = lines.next();
        if (text.isEmpty()) {
          return true;
        }
        line++;
        reader.read(line, text.get()).ifPresent(this::take);
      }
      return false;
    } catch (IOException unreadable) {
      Stop cause = FileCause.unreadable(source, unreadable);
      throw firstLine == 2 ? cause : new Stop(cause.exitCode(), cause.getMessage() + "\n" + kept());
    }
  }

  private void take(Reading row) {
    rows.add(new Row(line, row));
    fit.add(line, row);
  }

  private int settled() {
    int doubted = fit.doubtedFrom();
    int settled = rows.size();
    while (settled > 0 && rows.get(settled - 1).line() >= doubted) {
      settled--;
    }
    return settled;
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
        : "Only the rows before line " + firstLine + " were stored; the mended file adds the rest";
  }

  ImportFit fit() {
    return fit;
  }

  ReadingCsvReader.Counts counts() {
    return reader.counts();
  }
}
