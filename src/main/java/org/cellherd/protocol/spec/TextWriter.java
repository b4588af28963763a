package org.cellherd.protocol.spec;

import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.OptionalLong;
import java.util.TreeMap;
import org.cellherd.pack.Reading;

/** Writes the lines of a text message for a reading. Used once. */
final class TextWriter {

  /**
   * Longest NMEA sentence without check value and line end: 82 characters less {@code *hh CR LF}.
   */
  private static final int LONGEST_SENTENCE = 77;

  private final LineStyle style;
  private final String starts;
  private final List<TextField> fields;
  private final int longest;
  private final Reading reading;
  private final Map<String, Long> directions = new HashMap<>();

  TextWriter(LineStyle style, String starts, List<TextField> fields, int longest, Reading reading) {
    this.style = style;
    this.starts = starts;
    this.fields = fields;
    this.longest = longest;
    this.reading = reading;
    for (TextField f : fields) {
      f.field()
          .meaning()
          .direction()
          .ifPresent(d -> directions.put(d.field(), d.valueFor(reading.currentMa().orElse(0))));
    }
  }

  List<byte[]> lines() {
    List<String> lines =
        switch (style.kind()) {
          case CSV -> List.of(columns());
          case KEY_VALUE -> List.of(starts + String.join(separator(), pairs()));
          case XDR -> sentences();
        };
    return lines.stream().map(l -> l.getBytes(StandardCharsets.ISO_8859_1)).toList();
  }

  private String separator() {
    return String.valueOf(style.separator());
  }

  private String columns() {
    TreeMap<Integer, String> cells = new TreeMap<>();
    for (TextField f : fields) {
      for (int i = 0; i < f.field().repetition().count(); i++) {
        cells.put(f.column() + i * f.field().place().stride(), value(f, i));
      }
    }
    List<String> row = new ArrayList<>();
    for (int column = 1; column <= (cells.isEmpty() ? 0 : cells.lastKey()); column++) {
      row.add(cells.getOrDefault(column, ""));
    }
    String line = String.join(separator(), row);
    return starts + line;
  }

  private List<String> pairs() {
    List<String> pairs = new ArrayList<>();
    for (TextField f : fields) {
      for (int i = 0; i < f.field().repetition().count(); i++) {
        String value = value(f, i);
        if (!value.isEmpty() || !f.optional()) {
          pairs.add(f.key(i) + style.keySeparator() + value);
        }
      }
    }
    return pairs;
  }

  private List<String> sentences() {
    List<String> lines = new ArrayList<>();
    StringBuilder line = new StringBuilder(starts);
    for (TextField f : fields) {
      for (int i = 0; i < f.field().repetition().count(); i++) {
        String unit = f.field().meaning().labels().unit();
        String group = String.join(separator(), f.transducer(), value(f, i), unit, f.key(i));
        if (line.length() > starts.length()
            && line.length() + 1 + group.length() > Math.min(longest, LONGEST_SENTENCE)) {
          lines.add(line.toString());
          line = new StringBuilder(starts);
        }
        line.append(line.length() > starts.length() ? separator() : "").append(group);
      }
    }
    lines.add(line.toString());
    return lines;
  }

  private String value(TextField f, int index) {
    Field.Meaning m = f.field().meaning();
    Long direction = directions.get(f.field().name());
    if (direction != null) {
      return Long.toString(direction);
    }
    if (m.target() == Target.IDENTITY) {
      return m.constant().text();
    }
    if (m.target() == Target.EXTRA) {
      return Long.toString(m.constant().value());
    }
    int number = m.target().isNumbered() ? m.first() + index : 0;
    OptionalLong inside = m.target().valueIn(reading, number);
    if (inside.isEmpty()) {
      return m.missing().isEmpty() ? "" : Long.toString(m.missing().get(0));
    }
    long value = inside.getAsLong();
    if (m.target().isMask()) {
      return Long.toString(value >>> m.first());
    }
    if (m.target().isTruth()) {
      long on = m.truth().isEmpty() ? 1 : m.truth().get(0);
      return Long.toString(value != 0 ? on : m.constant().value());
    }
    double size = m.direction().isPresent() ? Math.abs(value) : value;
    double written = m.conversion().toNumber(size);
    return String.format(Locale.ROOT, "%." + f.decimals() + "f", written);
  }
}
