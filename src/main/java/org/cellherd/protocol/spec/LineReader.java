package org.cellherd.protocol.spec;

import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.Optional;
import org.cellherd.protocol.checksum.Checksum;
import org.cellherd.protocol.checksum.Checksums;
import org.cellherd.protocol.frame.Bytes;
import org.cellherd.toml.TomlTable;

/** Reads a {@code [frame]} table of kind {@code line}. */
final class LineReader {

  private LineReader() {}

  static LineFraming framing(TomlTable t) {
    String start = t.text("start", "");
    boolean feed = t.oneOf("end", List.of("lf", "cr"), "lf").equals("lf");
    int longest = t.integer("longest", 8, 4096, 256);
    LineCheck check = t.tableIfAny("checksum").map(LineReader::check).orElse(LineCheck.NONE);
    return new LineFraming(
        new LineFraming.Form(
            Bytes.of(start.getBytes(StandardCharsets.ISO_8859_1)),
            (byte) (feed ? '\n' : '\r'),
            longest,
            check));
  }

  private static LineCheck check(TomlTable t) {
    List<String> names = Checksums.all().stream().map(Checksum::word).toList();
    Optional<Checksum> checksum = Checksums.named(t.text("kind"));
    if (checksum.isEmpty()) {
      t.oneOf("kind", names);
    }
    return new LineCheck(checksum, t.integer("skip", 0, 16, 0), one(t, "mark", "*"));
  }

  static LineStyle style(TomlTable t) {
    LineStyle.Kind kind = t.oneOf("style", LineStyle.Kind.class);
    return new LineStyle(kind, one(t, "separator", ","), one(t, "key_separator", "="));
  }

  private static char one(TomlTable t, String key, String value) {
    String text = t.text(key, value);
    if (text.length() != 1 || text.charAt(0) > 126) {
      t.problem(key, "is \"" + text + "\", allowed: one character");
      return value.charAt(0);
    }
    return text.charAt(0);
  }
}
