package org.cellherd.protocol.spec;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import org.cellherd.pack.Spoken;
import org.cellherd.protocol.frame.ChecksumRule;
import org.cellherd.protocol.frame.FrameLayout;
import org.cellherd.protocol.frame.FramePart;
import org.cellherd.protocol.frame.Framing;
import org.cellherd.protocol.frame.LengthRule;

/** Says how a board's frames are made: parts, ending, writing, check value. */
final class FrameWords {

  private FrameWords() {}

  /** The parts in their order; none where frames are lines. */
  static List<String> parts(Framing framing) {
    return framing instanceof FrameLayout layout
        ? layout.description().parts().stream().map(FrameWords::part).toList()
        : List.of();
  }

  private static String part(FramePart part) {
    String order = part.bytes() > 1 ? (part.lowFirst() ? ", low first" : ", high first") : "";
    return switch (part.kind()) {
      case START, END -> part.name() + " " + part.value();
      case CONSTANT -> part.name() + " " + part.value() + (part.checked() ? "" : " (or any other)");
      case RESULT -> "result, good is " + part.value();
      case DATA -> "data";
      default -> part.name() + " " + Spoken.counted(part.bytes(), "byte") + order;
    };
  }

  /** Everything else that one must know to cut and check them. */
  static List<String> details(Framing framing) {
    if (framing instanceof LineFraming lines) {
      return line(lines.form());
    }
    if (!(framing instanceof FrameLayout layout)) {
      return List.of("a CAN frame as an slcan adapter writes it");
    }
    FrameLayout.Description d = layout.description();
    List<String> words = new ArrayList<>();
    d.checksum().ifPresent(c -> words.add(check(d, c)));
    d.length().ifPresent(l -> words.add(length(d, l)));
    words.add(
        switch (d.ending()) {
          case LENGTH -> "ends where its length says";
          case DELIMITER -> "ends by its end bytes";
          case SILENCE -> "ends by silence";
          case FIXED -> "ends by the size of its message";
        });
    if (!d.wire().described().isEmpty()) {
      words.add(d.wire().described());
    }
    return words;
  }

  private static String check(FrameLayout.Description d, ChecksumRule c) {
    List<String> covered = new ArrayList<>();
    d.parts().forEach(p -> covered.add(p.name()));
    covered.retainAll(c.covers());
    if (c.covers().contains("address") && !covered.contains("address")) {
      covered.add(0, "address (not in the frame)");
    }
    return "checksum "
        + c.checksum().described()
        + (c.isBegunWithAddress() ? " begun with the address" : "")
        + " over the "
        + (c.overCharacters() ? "characters of " : "bytes of ")
        + String.join(", ", covered)
        + (c.inHex() ? ", written in hex digits" : "");
  }

  private static String length(FrameLayout.Description d, LengthRule rule) {
    List<String> names = new ArrayList<>();
    d.parts().forEach(p -> names.add(p.name()));
    names.retainAll(rule.counts());
    return "length counts "
        + (rule.inCharacters() ? "characters of " : "bytes of ")
        + String.join(", ", names)
        + (rule.plus() == 0 ? "" : String.format(Locale.ROOT, " %+d", rule.plus()))
        + (rule.nibbleChecked() ? ", its first nibble checks the others" : "");
  }

  private static List<String> line(LineFraming.Form form) {
    List<String> words = new ArrayList<>();
    String start = form.start().length() == 0 ? "" : " that begins with " + text(form.start());
    String end = form.end() == '\n' ? "a line feed" : "a carriage return";
    words.add(
        "a line of text" + start + ", ended by " + end + ", at most " + form.longest() + " bytes");
    LineCheck check = form.check();
    check
        .checksum()
        .ifPresent(
            c ->
                words.add(
                    "checksum "
                        + c.described()
                        + " in hex behind '"
                        + check.mark()
                        + "', over all before it"
                        + (check.skip() == 0
                            ? ""
                            : " but the first " + Spoken.counted(check.skip(), "character"))));
    return words;
  }

  /** Bytes of a text line in quotes; what cannot be printed as {@code \r}, {@code \n} or hex. */
  static String text(org.cellherd.protocol.frame.Bytes bytes) {
    StringBuilder text = new StringBuilder("\"");
    for (byte b : bytes.array()) {
      text.append(
          switch (b) {
            case '\r' -> "\\r";
            case '\n' -> "\\n";
            case '\t' -> "\\t";
            default ->
                b >= ' ' && b < 127
                    ? String.valueOf((char) b)
                    : String.format(Locale.ROOT, "\\x%02X", b);
          });
    }
    return text.append('"').toString();
  }
}
