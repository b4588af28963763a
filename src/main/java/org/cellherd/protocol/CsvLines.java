package org.cellherd.protocol;

import java.io.IOException;
import java.io.InputStream;
import java.io.InputStreamReader;
import java.io.Reader;
import java.nio.charset.StandardCharsets;
import java.util.Optional;

/**
 * The lines of a file of readings, in memory that does not grow with them: of a line longer than
 * any that is read only the beginning is kept, so that it is refused as too long. One thread.
 */
public final class CsvLines implements AutoCloseable {

  private final Reader in;
  private final char[] buffer = new char[1 << 14];
  private int at;
  private int end;

  /** The rest of the line returned last is still to be skipped. */
  private boolean isWithin;

  /** Lines of UTF-8 text; other bytes end in a {@link java.nio.charset.MalformedInputException}. */
  public CsvLines(InputStream in) {
    this.in = new InputStreamReader(in, StandardCharsets.UTF_8.newDecoder());
  }

  /** The next line without its line feed; empty at the end. */
  public Optional<String> next() throws IOException {
    int most = ReadingCsv.LONGEST_LINE + 1;
    while (isWithin && skip() == end) {
      isWithin = fill();
    }
    isWithin = false;
    StringBuilder line = new StringBuilder(0);
    while (at < end || fill()) {
      int from = at;
      int feed = skip();
      if (line.isEmpty() && feed < end && feed - from <= most) {
        return Optional.of(String.valueOf(buffer, from, feed - from));
      }
      line.append(buffer, from, Math.min(most - line.length(), feed - from));
      if (feed < end || line.length() == most) {
        isWithin = feed == end;
        return Optional.of(line.toString());
      }
    }
    return line.isEmpty() ? Optional.empty() : Optional.of(line.toString());
  }

  /** Goes behind the next line feed; where that was, or the end of what is there. */
  private int skip() {
    int feed = at;
    while (feed < end && buffer[feed] != '\n') {
      feed++;
    }
    at = Math.min(feed + 1, end);
    return feed;
  }

  private boolean fill() throws IOException {
    at = 0;
    end = Math.max(0, in.read(buffer));
    return end > 0;
  }

  @Override
  public void close() throws IOException {
    in.close();
  }
}
