package org.cellherd.protocol.spec;

import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.cellherd.toml.Suggestion;
import org.cellherd.toml.TomlTable;

/** Reads how a field's number stands in bytes: {@code type}, {@code bytes}, {@code order}. */
final class CodingReader {

  /** Words for the kinds of number whose size in bits is a part of the word. */
  private static final Map<String, Coding.Type> SIZED =
      Map.of(
          "u",
          Coding.Type.UNSIGNED,
          "s",
          Coding.Type.SIGNED,
          "m",
          Coding.Type.MAGNITUDE,
          "f",
          Coding.Type.FLOAT);

  private static final Pattern SIZED_WORD = Pattern.compile("([usmf])([1-9][0-9]?)");

  /** Kinds of number that take {@code bytes}, and the most there may be. */
  private static final Map<String, Integer> MOST_BYTES =
      Map.of("bcd", 8, "decimal_digits", 18, "hex_digits", 15, "text", 1024, "skip", 1024);

  private static final List<String> ALLOWED =
      List.of(
          "u8",
          "u12",
          "u16",
          "u32",
          "u64",
          "s8",
          "s16",
          "s32",
          "m16",
          "f32",
          "f64",
          "bcd",
          "decimal_digits",
          "hex_digits",
          "text",
          "skip");

  private final TomlTable t;
  private final SpecContext context;

  CodingReader(TomlTable table, SpecContext context) {
    this.t = table;
    this.context = context;
  }

  Coding read() {
    String word = t.text("type");
    Matcher sized = SIZED_WORD.matcher(word);
    if (sized.matches()) {
      int bits = Integer.parseInt(sized.group(2));
      if (isSize(sized.group(1), bits)) {
        return new Coding(
            SIZED.getOrDefault(sized.group(1), Coding.Type.UNSIGNED), bits, order(bits));
      }
    }
    if (!MOST_BYTES.containsKey(word)) {
      problem(word);
      return new Coding(Coding.Type.UNSIGNED, 8, WordOrder.BIG);
    }
    int bytes = t.integer("bytes", 1, MOST_BYTES.get(word));
    Coding.Type type = Coding.Type.valueOf(word.toUpperCase(Locale.ROOT));
    return Coding.ofBytes(type, bytes, order(8 * bytes));
  }

  private static boolean isSize(String kind, int bits) {
    return switch (kind) {
      case "u" -> bits <= 64;
      case "f" -> bits == 32 || bits == 64;
      default -> bits >= 2 && bits <= 64;
    };
  }

  private void problem(String word) {
    if (t.has("type")) {
      t.problem(
          "type",
          "is \""
              + word
              + "\", allowed: u1 to u64, s2 to s64, m2 to m64, f32, f64, bcd,"
              + " decimal_digits, hex_digits, text, skip"
              + Suggestion.phrase(word, ALLOWED));
    }
  }

  private WordOrder order(int bits) {
    WordOrder order = t.oneOf("order", WordOrder.class, context.order());
    boolean words = order == WordOrder.CDAB || order == WordOrder.BADC;
    if (words && bits % 16 != 0) {
      if (bits > 8 || t.has("order")) {
        t.problem("order", "is for numbers of whole 16-bit words, allowed here: big, little");
      }
      return WordOrder.BIG;
    }
    return order;
  }
}
