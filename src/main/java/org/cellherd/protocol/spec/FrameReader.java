package org.cellherd.protocol.spec;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import org.cellherd.protocol.checksum.Checksum;
import org.cellherd.protocol.checksum.Checksums;
import org.cellherd.protocol.checksum.Crc;
import org.cellherd.protocol.checksum.Sum;
import org.cellherd.protocol.frame.Bytes;
import org.cellherd.protocol.frame.ChecksumRule;
import org.cellherd.protocol.frame.FrameLayout;
import org.cellherd.protocol.frame.FrameLayout.Ending;
import org.cellherd.protocol.frame.FramePart;
import org.cellherd.protocol.frame.FramePart.Kind;
import org.cellherd.protocol.frame.LengthRule;
import org.cellherd.protocol.frame.Wire;
import org.cellherd.toml.TomlTable;

/** Reads a {@code [frame]} table of kind {@code parts} into a layout. */
final class FrameReader {

  private static final List<String> ORDERS = List.of("big", "little");

  private final TomlTable t;
  private final Map<String, Bytes> constants = new LinkedHashMap<>();
  private final List<String> order;

  FrameReader(TomlTable table) {
    this.t = table;
    this.order = table.texts("layout");
    if (!table.has("layout")) {
      table.problem(
          "layout", "is missing, allowed: a list such as [\"start\", \"code\", \"data\"]");
    }
  }

  FrameLayout layout() {
    t.tableIfAny("constants").ifPresent(this::readConstants);
    Optional<ChecksumRule> checksum = checksum();
    List<FramePart> parts = new ArrayList<>();
    for (String name : order) {
      part(name, checksum).ifPresent(parts::add);
    }
    checkOrder(parts);
    Ending ending = ending();
    return new FrameLayout(
        new FrameLayout.Description(
            parts,
            wire(),
            ending,
            length(),
            checksum,
            t.integer("most_data", 1, 4096, 1024),
            Set.of(),
            Optional.empty()));
  }

  private void readConstants(TomlTable table) {
    for (String name : table.keys()) {
      constants.put(name, hex(table, name));
    }
  }

  private Optional<FramePart> part(String name, Optional<ChecksumRule> checksum) {
    return switch (name) {
      case "start" -> Optional.of(FramePart.constant(name, Kind.START, hex(t, "start"), true));
      case "end" -> Optional.of(FramePart.constant(name, Kind.END, hex(t, "end"), true));
      case "address" -> Optional.of(number(name, Kind.ADDRESS, "address"));
      case "code" -> Optional.of(number(name, Kind.CODE, "code"));
      case "result" ->
          Optional.of(FramePart.constant(name, Kind.RESULT, hex(t, "result_good"), true));
      case "length" -> t.tableIfAny("length").map(FrameReader::lengthPart);
      case "data" -> Optional.of(FramePart.data());
      case "checksum" -> checksum.map(this::checksumPart);
      default -> constantPart(name);
    };
  }

  private FramePart number(String name, Kind kind, String prefix) {
    int bytes = t.integer(prefix + "_bytes", 1, 4, 1);
    return FramePart.number(name, kind, bytes, isLittle(t, prefix + "_order"));
  }

  private static boolean isLittle(TomlTable table, String key) {
    return table.oneOf(key, ORDERS, "big").equals("little");
  }

  private static FramePart lengthPart(TomlTable table) {
    return FramePart.number(
        "length", Kind.LENGTH, table.integer("bytes", 1, 4, 1), isLittle(table, "order"));
  }

  private FramePart checksumPart(ChecksumRule rule) {
    boolean little = isLittle(t.tableOrEmpty("checksum"), "order");
    return FramePart.number("checksum", Kind.CHECKSUM, rule.bytes(), little);
  }

  private Optional<FramePart> constantPart(String name) {
    Bytes value = constants.get(name);
    if (value == null) {
      t.problem(
          "layout",
          "holds \""
              + name
              + "\", allowed: start, address, code, result, length, data, checksum, end, or a name"
              + " of [frame.constants]");
      return Optional.empty();
    }
    boolean checked = !t.texts("unchecked").contains(name);
    return Optional.of(FramePart.constant(name, Kind.CONSTANT, value, checked));
  }

  /** Start first, end last, header before data: the parser relies on it. */
  private void checkOrder(List<FramePart> parts) {
    boolean afterData = false;
    Set<String> seen = new LinkedHashSet<>();
    for (int i = 0; i < parts.size(); i++) {
      FramePart part = parts.get(i);
      if (!seen.add(part.name())) {
        t.problem("layout", "holds " + part.name() + " twice");
      }
      if (part.kind() == Kind.START && i > 0) {
        t.problem("layout", "start must be the first part");
      }
      if (part.kind() == Kind.END && !isLast(parts, i)) {
        t.problem("layout", "end must be the last part, or the last but checksum");
      }
      boolean header =
          part.kind() == Kind.ADDRESS
              || part.kind() == Kind.CODE
              || part.kind() == Kind.LENGTH
              || part.kind() == Kind.RESULT;
      if (afterData && header) {
        t.problem("layout", part.name() + " must come before data");
      }
      afterData |= part.kind() == Kind.DATA;
    }
    if (!afterData) {
      t.problem("layout", "has no data");
    }
  }

  private static boolean isLast(List<FramePart> parts, int at) {
    return at == parts.size() - 1
        || (at == parts.size() - 2 && parts.get(at + 1).kind() == Kind.CHECKSUM);
  }

  private Optional<LengthRule> length() {
    return t.tableIfAny("length")
        .map(
            table -> {
              Set<String> counts = names(table, "counts", Set.of("data"));
              int plus = table.integer("plus", -255, 255, 0);
              boolean characters =
                  table.oneOf("unit", List.of("bytes", "characters"), "bytes").equals("characters");
              return new LengthRule(counts, plus, characters, table.bool("nibble_check", false));
            });
  }

  private Optional<ChecksumRule> checksum() {
    return t.tableIfAny("checksum")
        .map(
            table -> {
              Set<String> all = new LinkedHashSet<>(order);
              all.removeAll(List.of("start", "end", "checksum"));
              Set<String> covers = covered(table, all);
              if (covers.contains("checksum")) {
                table.problem("covers", "holds checksum, which cannot cover itself");
              }
              boolean characters =
                  table.oneOf("over", List.of("bytes", "characters"), "bytes").equals("characters");
              boolean hex = table.oneOf("form", List.of("binary", "hex"), "binary").equals("hex");
              boolean byAddress = table.isText("seed") && table.text("seed").equals("address");
              return new ChecksumRule(algorithm(table), covers, characters, hex, byAddress);
            });
  }

  /** The address may be covered though the frame does not hold it. */
  private Set<String> covered(TomlTable table, Set<String> otherwise) {
    if (!table.has("covers")) {
      return otherwise;
    }
    List<String> allowed = new ArrayList<>(order);
    allowed.add("address");
    return new LinkedHashSet<>(table.listOf("covers", allowed));
  }

  private Set<String> names(TomlTable table, String key, Set<String> otherwise) {
    return table.has(key) ? new LinkedHashSet<>(table.listOf(key, order)) : otherwise;
  }

  private static Checksum algorithm(TomlTable table) {
    Optional<TomlTable> own = table.tableIfAny("crc");
    if (own.isPresent()) {
      return seeded(table, crc(own.get()));
    }
    List<String> names = Checksums.all().stream().map(Checksum::word).toList();
    String name = table.text("kind", "");
    Optional<Checksum> known = Checksums.named(name);
    if (known.isEmpty()) {
      table.oneOf("kind", names);
    }
    return seeded(table, known.orElse(Sum.XOR8));
  }

  private static Checksum seeded(TomlTable table, Checksum kind) {
    if (!table.has("seed")) {
      return kind;
    }
    if (table.isText("seed")) {
      table.oneOf("seed", List.of("address"));
      return kind;
    }
    long seed = table.longInteger("seed", 0, (1L << (8 * kind.bytes())) - 1);
    if (kind instanceof Sum sum) {
      return new Sum.Seeded(sum, seed);
    }
    table.problem("seed", "is for sums and xor8 only; a CRC has its init");
    return kind;
  }

  private static Checksum crc(TomlTable c) {
    int width = c.integer("width", 8, 32);
    if (width % 8 != 0) {
      c.problem("width", "is " + width + ", allowed: 8, 16, 24, 32");
      width = 8;
    }
    long most = (1L << width) - 1;
    return new Crc(
        "crc",
        new Crc.Parameters(
            width,
            c.longInteger("poly", 1, most),
            c.longInteger("init", 0, most),
            c.bool("reflect_in"),
            c.bool("reflect_out"),
            c.longInteger("xor_out", 0, most, 0)));
  }

  private Wire wire() {
    boolean hex = t.oneOf("encoding", List.of("binary", "hex"), "binary").equals("hex");
    Optional<TomlTable> escape = t.tableIfAny("escape");
    if (escape.isEmpty()) {
      return hex ? Wire.HEX : Wire.BINARY;
    }
    if (hex) {
      t.problem("escape", "cannot be used with encoding = \"hex\"");
    }
    return escaped(escape.get());
  }

  private static Wire escaped(TomlTable e) {
    Bytes mark = hex(e, "byte");
    Bytes bare = hex(e, "of");
    Bytes written = hex(e, "written_as");
    if (mark.length() != 1) {
      e.problem("byte", "allowed: one byte such as \"7D\"");
      return Wire.BINARY;
    }
    if (bare.length() != written.length()) {
      e.problem("written_as", "must have as many bytes as of");
      return Wire.BINARY;
    }
    Map<Integer, Integer> map = new LinkedHashMap<>();
    for (int i = 0; i < bare.length(); i++) {
      map.put(bare.at(i), written.at(i));
    }
    if (!map.containsKey(mark.at(0))) {
      e.problem("of", "must hold the escape byte itself");
    }
    return Wire.escaped(mark.at(0), map);
  }

  private Ending ending() {
    String usual = order.contains("length") ? "length" : order.contains("end") ? "mark" : "size";
    String word = t.oneOf("ends_by", List.of("length", "size", "mark", "silence"), usual);
    if (word.equals("length") && !order.contains("length")) {
      t.problem("ends_by", "is \"length\", but the layout has no length");
    }
    if (word.equals("mark") && !order.contains("end")) {
      t.problem("ends_by", "is \"mark\", but the layout has no end");
    }
    return switch (word) {
      case "length" -> Ending.LENGTH;
      case "mark" -> Ending.DELIMITER;
      case "silence" -> Ending.SILENCE;
      default -> Ending.FIXED;
    };
  }

  static Bytes hex(TomlTable table, String key) {
    String text = table.text(key);
    Optional<Bytes> bytes = Bytes.ofHex(text);
    if (bytes.isEmpty()) {
      table.problem(key, "is \"" + text + "\", allowed: bytes in hex such as \"9C 36\"");
    }
    return bytes.orElse(Bytes.NONE);
  }
}
