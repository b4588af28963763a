package org.cellherd.protocol.spec;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import org.cellherd.pack.Spoken;
import org.cellherd.protocol.frame.Frame;
import org.cellherd.protocol.frame.Numbers;

/** Goes through a description's messages and says how each is told from others, and its rows. */
final class SpecOutline {
  private final Spec spec;

  SpecOutline(Spec spec) {
    this.spec = spec;
  }

  /**
   * One field of a message.
   *
   * @param at where it stands: bytes, bits of bytes ({@code 8.6-10.0}), column or key
   * @param times how often, or ""
   * @param coding how it is written, or which field it is a part of
   * @param field the field
   * @param words what it means
   */
  record Row(String at, String times, String coding, Field field, List<String> words) {}

  /** How the line is set, and what is stated of the board's pace. */
  List<String> line() {
    List<String> words = new ArrayList<>();
    words.add(spec.line().baud() + " baud");
    words.add(spec.line().dataBits() + " data bits");
    words.add("parity " + spec.line().parity().name().toLowerCase(Locale.ROOT));
    words.add(Spoken.counted(spec.line().stopBits(), "stop bit"));
    words.add(spec.listenOnly() ? "the board talks by itself" : "the board is asked");
    spec.patience().answerWithinMs().ifPresent(ms -> words.add("answers within " + ms + " ms"));
    if (spec.patience().quietAfterMissMs() > 0) {
      words.add("needs " + spec.patience().quietAfterMissMs() + " ms of quiet after a miss");
    }
    if (spec.messages().size() > 1) {
      words.add("parts of a reading at most " + spec.greatestSkewMs() + " ms apart");
    }
    return words;
  }

  /** By what a message is known and asked for, and how long it is. */
  List<String> told(Message message) {
    List<String> words = new ArrayList<>();
    if (message.code() != Frame.NONE) {
      words.add(code(message));
    }
    if (message.body() instanceof Body) {
      message
          .match()
          .ifPresent(m -> words.add("identified by " + m.bytes() + " at byte " + m.at()));
    }
    if (!spec.listenOnly()) {
      asked(message, words);
    }
    message.pages().ifPresent(p -> words.add(pages(p)));
    if (message.body() instanceof Body body) {
      words.add(size(body));
    } else if (message.body() instanceof TextBody text && !text.starts().isEmpty()) {
      words.add("lines that begin with \"" + text.starts() + "\"");
    }
    if (message.optional()) {
      words.add("optional");
    }
    return words;
  }

  private String code(Message message) {
    if (spec.kind() != FrameKind.SLCAN) {
      return spec.isModbus()
          ? "function " + message.code()
          : String.format(Locale.ROOT, "code %02X", message.code());
    }
    boolean isExtended = message.code() >= CanLines.EXTENDED;
    long all = isExtended ? 0x1FFFFFFF : 0x7FF;
    long mask = message.codeMask() & all;
    return String.format(Locale.ROOT, isExtended ? "id %08X" : "id %03X", message.code() & all)
        + (isExtended ? " (29 bits)" : " (11 bits)")
        + (mask == all ? "" : String.format(Locale.ROOT, ", bits %X of it", mask));
  }

  private void asked(Message message, List<String> words) {
    byte[] data = message.requestData().array();
    if (spec.isModbus()) {
      long first = Numbers.unsigned(data, 0, 2, false);
      long last = first + Numbers.unsigned(data, 2, 2, false) - 1;
      words.add("registers " + first + " to " + last + " counted from 0");
      return;
    }
    boolean isCoded = message.requestCode() != Frame.NONE && message.requestCode() >= 0;
    String code =
        isCoded && message.requestCode() != message.code()
            ? String.format(Locale.ROOT, "code %02X", message.requestCode())
            : "";
    String with = data.length == 0 ? "" : request(message);
    if (!code.isEmpty() || !with.isEmpty()) {
      words.add("asked with " + code + (code.isEmpty() || with.isEmpty() ? "" : ", ") + with);
    }
  }

  private String request(Message message) {
    if (spec.kind() == FrameKind.LINE) {
      return FrameWords.text(message.requestData());
    }
    String text = message.requestData().toString();
    int at = 3 * message.pageAt();
    return at < 0 ? text : text.substring(0, at) + "{page}" + text.substring(at + 2);
  }

  private static String pages(Pages p) {
    return "pages numbered by "
        + p.field()
        + " from "
        + p.first()
        + " on, "
        + (p.countField().isEmpty() ? p.count() : "as many as " + p.countField());
  }

  private static String size(Body body) {
    String most = Spoken.counted(body.most(), "byte");
    String range = body.least() == body.most() ? most : body.least() + " to " + most;
    return range + " of data" + (body.mayBeLonger() ? ", or more" : "");
  }

  static List<Row> rows(Message message) {
    if (message.body() instanceof Body body) {
      return rows(body);
    }
    List<Row> rows = new ArrayList<>();
    if (message.body() instanceof TextBody body) {
      body.fields().forEach(f -> rows.add(row(f)));
    }
    return rows;
  }

  private static Row row(TextField text) {
    String place = text.column() > 0 ? "column " + text.column() : text.key();
    String at = text.transducer().isEmpty() ? place : text.transducer() + " " + place;
    List<String> words = new ArrayList<>(FieldWords.of(text.field()));
    if (text.optional()) {
      words.add("optional");
    }
    return new Row(at, times(text.field()), "number", text.field(), words);
  }

  private static List<Row> rows(Body body) {
    List<Row> rows = new ArrayList<>();
    int position = 0;
    boolean known = true;
    for (Field field : body.fields()) {
      List<String> words = FieldWords.of(field);
      Field.Place place = field.place();
      if (field.isOver()) {
        rows.add(new Row(bits(place), "", "of " + place.over(), field, words));
        continue;
      }
      int size = field.coding().bits();
      boolean counted = !field.repetition().countField().isEmpty();
      int start = field.startAfter(position);
      known |= place.at() >= 0;
      int end = start + (field.repetition().count() - 1) * place.stride() + size;
      String at = known ? bytes(start, counted ? start + size : end) : "next";
      rows.add(new Row(at, times(field), coding(field.coding()), field, words));
      known = known && !counted && field.when().isEmpty();
      position = end;
    }
    return rows;
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
    String bit = first + "." + start % 8;
    return end - start == 1 ? bit : bit + "-" + (end - 1) / 8 + "." + (end - 1) % 8;
  }

  private static String times(Field field) {
    Field.Repetition r = field.repetition();
    if (!r.countField().isEmpty()) {
      return "x " + r.countField();
    }
    return r.count() == 1 ? "" : "x " + r.count();
  }

  private static String coding(Coding coding) {
    String type = coding.type().name().toLowerCase(Locale.ROOT).replace('_', ' ');
    String order = coding.bytes() == 1 ? "" : " " + coding.order().name().toLowerCase(Locale.ROOT);
    String size =
        coding.isWholeBytes()
            ? Spoken.counted(coding.bytes(), "byte")
            : Spoken.counted(coding.bits(), "bit");
    return type + " " + size + order;
  }
}
