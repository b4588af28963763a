package org.cellherd.sim;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.util.Iterator;
import java.util.NoSuchElementException;
import java.util.Optional;
import java.util.OptionalLong;
import org.cellherd.pack.Reading;
import org.cellherd.protocol.CsvLines;
import org.cellherd.protocol.ReadingCsv;
import org.cellherd.protocol.ReadingCsvReader;
import org.cellherd.toml.Problems;
import org.jspecify.annotations.Nullable;

/**
 * Readings of a CSV file one after the other, without ever holding the file. Rows with a problem
 * and rows no later than one before them are left out, and the problems tell them. Belongs to one
 * thread.
 */
public final class RecordedReadings implements Iterator<Reading> {

  private final String fileName;
  private final CsvLines lines;
  private final ReadingCsvReader rows;
  private final Problems problems;
  private int lineNumber = 1;
  private long newestMs = Long.MIN_VALUE;
  private @Nullable Reading next;

  private RecordedReadings(
      String fileName, CsvLines lines, ReadingCsvReader rows, Problems problems) {
    this.fileName = fileName;
    this.lines = lines;
    this.rows = rows;
    this.problems = problems;
    this.next = advance();
  }

  /**
   * Reads the header and the first row; columns that are none of ours are skipped.
   *
   * @return empty when the problems say what is wrong
   * @throws IOException when the file cannot be read
   */
  public static Optional<RecordedReadings> of(String fileName, CsvLines lines, Problems problems)
      throws IOException {
    Optional<String> header = lines.next();
    if (header.isEmpty()) {
      problems.add(fileName, 0, "", "the file is empty, the first line must name the columns");
      return Optional.empty();
    }
    return ReadingCsv.ofHeader(fileName, header.get(), true, problems)
        .map(
            columns ->
                new RecordedReadings(
                    fileName, lines, new ReadingCsvReader(fileName, columns, problems), problems));
  }

  /** Time of the next reading, ms UTC; empty at the end. */
  public OptionalLong nextMs() {
    Reading reading = next;
    return reading == null ? OptionalLong.empty() : OptionalLong.of(reading.timeMs());
  }

  @Override
  public boolean hasNext() {
    return next != null;
  }

  /** The next reading; an unreadable file ends in an {@link UncheckedIOException}. */
  @Override
  public Reading next() {
    Reading reading = next;
    if (reading == null) {
      throw new NoSuchElementException("the record is over");
    }
    next = advance();
    return reading;
  }

  private @Nullable Reading advance() {
    try {
      for (Optional<String> line = lines.next(); line.isPresent(); line = lines.next()) {
        Optional<Reading> row = rows.read(++lineNumber, line.get());
        if (row.isPresent() && row.get().timeMs() > newestMs) {
          newestMs = row.get().timeMs();
          return row.get();
        }
        if (row.isPresent()) {
          problems.add(fileName, lineNumber, "", "is not later than the row before it");
        }
      }
      return null;
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }
}
