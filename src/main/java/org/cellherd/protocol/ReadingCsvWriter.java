package org.cellherd.protocol;

import java.time.Instant;
import java.util.OptionalLong;
import org.cellherd.pack.Channel;
import org.cellherd.pack.Reading;

/** Writes readings as lines, without loss: every stored digit, empty for what is missing. */
public final class ReadingCsvWriter {
  private final ReadingCsv columns;

  public ReadingCsvWriter(ReadingCsv columns) {
    this.columns = columns;
  }

  /** A line, without line end. */
  public String line(Reading reading) {
    StringBuilder out = new StringBuilder(16 * columns.columnCount());
    for (int i = 0; i < columns.columnCount(); i++) {
      if (i > 0) {
        out.append(columns.separator());
      }
      int column = columns.columnAt(i);
      if (column == ReadingCsv.TIME_COLUMN) {
        out.append(Instant.ofEpochMilli(reading.timeMs()));
      } else if (column >= 0) {
        Channel channel = columns.channels().get(column);
        OptionalLong value = reading.value(channel);
        if (value.isPresent()) {
          decimal(out, value.getAsLong(), channel, columns.separator() == ';' ? ',' : '.');
        }
      }
    }
    return out.toString();
  }

  private static void decimal(StringBuilder out, long stored, Channel channel, char mark) {
    if (channel.kind().isMask()) {
      out.append(Long.toUnsignedString(stored));
      return;
    }
    int decimals = channel.kind().decimals();
    if (decimals == 0) {
      out.append(stored);
      return;
    }
    long unit = 1;
    for (int i = 0; i < decimals; i++) {
      unit *= 10;
    }
    if (stored < 0) {
      out.append('-');
    }
    out.append(Math.abs(stored / unit)).append(mark);
    long rest = Math.abs(stored % unit);
    for (long step = unit / 10; step > 0; step /= 10) {
      out.append((char) ('0' + rest / step % 10));
    }
  }
}
