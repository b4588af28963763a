package org.cellherd.protocol.spec;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import org.cellherd.protocol.LineSettings;
import org.cellherd.protocol.frame.Frame;
import org.cellherd.protocol.frame.FrameLayout;
import org.cellherd.protocol.frame.FramePart;
import org.cellherd.protocol.frame.Framing;
import org.cellherd.protocol.frame.LengthRule;

/** Draws a description as text, byte by byte. Used once. */
public final class SpecDrawing {
  private final Spec spec;
  private final StringBuilder out = new StringBuilder();

  private SpecDrawing(Spec spec) {
    this.spec = spec;
  }

  /** The drawing, several lines. */
  public static String of(Spec spec) {
    return new SpecDrawing(spec).draw();
  }

  private String draw() {
    line(spec.id() + ": " + spec.title());
    LineSettings s = spec.line();
    line(
        s.baud()
            + " baud, "
            + s.dataBits()
            + " data bits, parity "
            + s.parity().name().toLowerCase(Locale.ROOT)
            + ", "
            + s.stopBits()
            + " stop bits, "
            + (spec.listenOnly() ? "the board talks by itself" : "the board is asked"));
    line("");
    if (!spec.listenOnly()) {
      frame("request", spec.requests());
    }
    frame(spec.listenOnly() ? "frame" : "answer", spec.replies());
    for (Message message : spec.messages()) {
      line("");
      message(message);
    }
    return out.toString();
  }

  private void frame(String name, Framing framing) {
    if (framing instanceof FrameLayout layout) {
      List<String> boxes = new ArrayList<>();
      for (FramePart part : layout.description().parts()) {
        boxes.add(box(part));
      }
      line(String.format(Locale.ROOT, "%-8s| %s |", name, String.join(" | ", boxes)));
      details(layout);
    } else {
      line(name + "  a line, at most " + framing.longest() + " bytes");
    }
  }

  /** How the frame ends, and what its check value is and covers. */
  private void details(FrameLayout layout) {
    FrameLayout.Description d = layout.description();
    d.checksum()
        .ifPresent(
            c -> {
              List<String> covered = new ArrayList<>();
              d.parts().forEach(p -> covered.add(p.name()));
              covered.retainAll(c.covers());
              if (c.covers().contains("address") && !covered.contains("address")) {
                covered.add(0, "address (not in the frame)");
              }
              line(
                  "        checksum "
                      + c.checksum().described()
                      + (c.isBegunWithAddress() ? ", begun with the address" : "")
                      + " over the "
                      + (c.overCharacters() ? "characters of " : "bytes of ")
                      + String.join(", ", covered));
            });
    d.length().ifPresent(l -> line("        length counts " + counted(d, l)));
  }

  private static String counted(FrameLayout.Description d, LengthRule rule) {
    List<String> names = new ArrayList<>();
    d.parts().forEach(p -> names.add(p.name()));
    names.retainAll(rule.counts());
    String plus = rule.plus() == 0 ? "" : String.format(Locale.ROOT, " %+d", rule.plus());
    return (rule.inCharacters() ? "characters of " : "bytes of ") + String.join(", ", names) + plus;
  }

  private static String box(FramePart part) {
    return switch (part.kind()) {
      case START, END, CONSTANT -> part.name() + " " + part.value();
      case RESULT -> "result, good is " + part.value();
      case DATA -> "data";
      default -> part.name() + " " + part.bytes() + (part.bytes() == 1 ? " byte" : " bytes");
    };
  }

  private void message(Message message) {
    String code =
        message.code() == Frame.NONE
            ? ""
            : String.format(Locale.ROOT, ", code %02X", message.code());
    String asked = message.requestData().length() == 0 ? "" : ", asked with " + asked(message);
    line(message.name() + code + asked + (message.optional() ? ", optional" : "") + told(message));
    if (message.body() instanceof Body body) {
      body(body);
    } else if (message.body() instanceof TextBody body) {
      for (TextField field : body.fields()) {
        String place = field.column() > 0 ? "column " + field.column() : field.key();
        row(place, repeat(field.field()), "number", field.field());
      }
    }
  }

  private static String told(Message message) {
    String match =
        message.match().map(m -> ", told by " + m.bytes() + " at byte " + m.at()).orElse("");
    return match
        + message
            .pages()
            .map(
                p ->
                    ", pages told by "
                        + p.field()
                        + " from "
                        + p.first()
                        + " on, "
                        + (p.countField().isEmpty() ? p.count() : "as many as " + p.countField()))
            .orElse("");
  }

  private static String asked(Message message) {
    String text = message.requestData().toString();
    int at = 3 * message.pageAt();
    return at < 0 ? text : text.substring(0, at) + "{page}" + text.substring(at + 2);
  }

  private void body(Body body) {
    int position = 0;
    boolean known = true;
    for (Field field : body.fields()) {
      Field.Place place = field.place();
      int size = field.coding().bits();
      boolean counted = !field.repetition().countField().isEmpty();
      int start = field.startAfter(position);
      known |= place.at() >= 0;
      int end = start + (field.repetition().count() - 1) * place.stride() + size;
      if (field.isOver()) {
        row(bits(place), "", "of " + place.over(), field);
        continue;
      }
      String at = known ? bytes(start, counted ? start + size : end) : "next";
      row(at, repeat(field), coding(field.coding()), field);
      known = known && !counted && field.when().isEmpty();
      position = end;
    }
  }

  private static String bits(Field.Place place) {
    if (place.bit() < 0) {
      return "  same";
    }
    return place.bits() == 1
        ? "  bit " + place.bit()
        : "  bits " + place.bit() + "-" + (place.bit() + place.bits() - 1);
  }

  /** Bytes from one bit to another; the bits where they are no whole bytes. */
  private static String bytes(int start, int end) {
    String first = Integer.toString(start / 8);
    if (start % 8 == 0 && end % 8 == 0) {
      return end - start == 8 ? first : first + "-" + (end / 8 - 1);
    }
    return first + "." + start % 8 + "-" + (end - 1) / 8 + "." + (end - 1) % 8;
  }

  private static String repeat(Field field) {
    Field.Repetition r = field.repetition();
    if (!r.countField().isEmpty()) {
      return "x " + r.countField();
    }
    return r.count() == 1 ? "" : "x " + r.count();
  }

  private static String coding(Coding coding) {
    String type = coding.type().name().toLowerCase(Locale.ROOT).replace('_', ' ');
    String order = coding.bytes() == 1 ? "" : " " + coding.order().name().toLowerCase(Locale.ROOT);
    String size = coding.isWholeBytes() ? coding.bytes() + order : coding.bits() + " bits" + order;
    return type + " " + size;
  }

  private void row(String at, String repeat, String coding, Field field) {
    Field.Meaning m = field.meaning();
    String target = m.target() == Target.EXTRA ? "" : m.target().name().toLowerCase(Locale.ROOT);
    String name = field.name().equals(target) ? "" : field.name();
    List<String> all = new ArrayList<>(List.of(target, name));
    all.removeIf(String::isEmpty);
    all.addAll(FieldWords.of(field));
    String what = String.join(", ", all);
    line(
        String.format(Locale.ROOT, "  %-10s %-8s %-22s %s", at, repeat, coding, what)
            .stripTrailing());
  }

  private void line(String text) {
    out.append(text).append('\n');
  }
}
