package org.cellherd.protocol.spec;

import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Collectors;
import org.cellherd.pack.Channel;
import org.cellherd.pack.Spoken;
import org.cellherd.protocol.frame.Bytes;
import org.cellherd.protocol.frame.Frame;
import org.cellherd.protocol.frame.FrameLayout;
import org.cellherd.protocol.frame.FramePart;
import org.cellherd.protocol.frame.Framing;
import org.cellherd.protocol.frame.Numbers;
import org.cellherd.protocol.modbus.RegisterRead;
import org.cellherd.toml.TomlTable;

/** Reads one {@code [[message]]} table. */
final class MessageReader {

  private static final String PAGE = "{page}";

  private final TomlTable t;
  private final FrameKind kind;
  private final Framing replies;
  private final SpecContext context;
  private final boolean listen;

  MessageReader(
      TomlTable table, FrameKind kind, Framing replies, SpecContext context, boolean listen) {
    this.t = table;
    this.kind = kind;
    this.replies = replies;
    this.context = context;
    this.listen = listen;
  }

  Message read(LineStyle style) {
    String name = t.text("name");
    boolean optional = t.bool("optional", false);
    return switch (kind) {
      case MODBUS_RTU, MODBUS_ASCII -> registers(name, optional);
      case PARTS, TELECOM_HEX -> framed(name, optional, (FrameLayout) replies);
      case LINE -> line(name, optional, style);
      case SLCAN -> can(name, optional);
    };
  }

  // ---- registers -------------------------------------------------------------------------------

  private Message registers(String name, boolean optional) {
    int function = t.integer("function", 3, 4);
    int base = t.integer("base", 0, 50_000);
    int first = t.integer("register", 0, 200_000);
    int count = t.integer("count", 1, RegisterRead.MOST);
    int start = first - base;
    if (start < 0 || start + count > 65_536) {
      t.problem(
          "register", "is " + first + ", which with base " + base + " is no address 0 to 65535");
      start = 0;
    }
    byte[] request = new byte[4];
    Numbers.put(request, 0, 2, false, start);
    Numbers.put(request, 2, 2, false, count);
    Body body = new Body(fields(context.withRegisters(first, count)), 2 * count, false);
    checkExtent(body, "count");
    return new Message(
        name,
        function,
        -1,
        function,
        Bytes.of(request),
        body,
        optional,
        Optional.empty(),
        -1,
        t.line());
  }

  private void checkExtent(Body body, String key) {
    int end = new Body(body.fields(), -1, false).most();
    if (end > body.most()) {
      t.problem(
          key,
          "stands for %s of data, the fields reach to byte %s"
              .formatted(Spoken.counted(body.most(), "byte"), end));
    }
  }

  // ---- framed ----------------------------------------------------------------------------------

  private Message framed(String name, boolean optional, FrameLayout layout) {
    boolean inReply = hasPart(layout, FramePart.Kind.CODE);
    boolean asked = !listen;
    long code =
        inReply || asked ? codeIfAny("code", inReply || kind == FrameKind.TELECOM_HEX) : Frame.NONE;
    long requestCode = t.longInteger("request_code", 0, 0xFFFFFFFFL, code);
    Optional<Pages> pages = pages();
    Bytes request = request(pages);
    int bytes = t.integer("bytes", 0, 4096, -1);
    boolean longer = t.bool("longer", false);
    Body body = new Body(fields(context.withPages(pages)), bytes, longer).withPages(pages);
    if (bytes >= 0) {
      checkExtent(body, "bytes");
    }
    if (body.most() > layout.description().mostData()) {
      t.problem(
          "describes "
              + Spoken.counted(body.most(), "byte")
              + " of data, more than the frame holds");
    }
    long replyCode = inReply ? code : Frame.NONE;
    return new Message(
        name, replyCode, -1, requestCode, request, body, optional, match(), pageAt(), t.line());
  }

  /** What asks for a page has {@code {page}} in the place of its number. */
  private Bytes request(Optional<Pages> pages) {
    if (!t.has("request")) {
      return Bytes.NONE;
    }
    String text = t.text("request");
    if (text.contains(PAGE) && pages.isEmpty()) {
      t.problem("request", "names a page, but there is no [message.pages]");
    }
    Optional<Bytes> bytes = Bytes.ofHex(text.replace(PAGE, "00"));
    if (bytes.isEmpty() || text.indexOf(PAGE) != text.lastIndexOf(PAGE)) {
      t.problem(
          "request",
          "is \"" + text + "\", allowed: bytes in hex such as \"9C 36\", one of them " + PAGE);
    }
    return bytes.orElse(Bytes.NONE);
  }

  private int pageAt() {
    String before = t.text("request", "").replace(" ", "");
    return before.indexOf(PAGE) < 0 ? -1 : before.indexOf(PAGE) / 2;
  }

  private Optional<Pages> pages() {
    return t.tableIfAny("pages")
        .map(
            p -> {
              boolean isTold = p.isText("count");
              String told = isTold ? p.text("count") : "";
              int count = p.integer(isTold ? "most" : "count", 1, Channel.MAX_NUMBER);
              long first = p.integer("first", 0, 255 - Channel.MAX_NUMBER, 0);
              return new Pages(p.text("field"), first, count, told);
            });
  }

  /** The field that tells the page must come before what goes on from page to page. */
  private void checkPages(Pages pages, Map<String, Field> fields) {
    if (!fields.containsKey(pages.field())) {
      t.problem("pages", "field is \"" + pages.field() + "\", no field of this message");
    }
    String told = pages.countField();
    if (!told.isEmpty() && !fields.containsKey(told) && !context.earlier().containsKey(told)) {
      t.problem(
          "pages",
          "count is \"" + told + "\", no field of this message or MESSAGE.FIELD of one before");
    }
  }

  private long codeIfAny(String key, boolean required) {
    return required
        ? t.longInteger(key, 0, 0xFFFFFFFFL)
        : t.longInteger(key, 0, 0xFFFFFFFFL, Frame.NONE);
  }

  // ---- text lines and CAN frames ---------------------------------------------------------------

  private Message line(String name, boolean optional, LineStyle style) {
    String starts = t.text("starts", "");
    List<TextField> fields = new ArrayList<>();
    for (TomlTable table : t.tables("field")) {
      fields.add(new FieldReader(table, Map.of(), context).readText(style.kind()));
    }
    if (fields.size() > 256) {
      t.problem("field", "more than 256 fields");
    }
    Bytes request =
        t.textIfAny("request")
            .map(text -> Bytes.of(text.getBytes(StandardCharsets.ISO_8859_1)))
            .orElse(Bytes.NONE);
    if (!listen && request.length() == 0) {
      t.problem("request", "is missing, allowed: the text to send, or talk = \"listen\" above");
    }
    TextBody body = new TextBody(style, starts, fields, replies.longest());
    byte[] start = starts.getBytes(StandardCharsets.ISO_8859_1);
    Optional<Message.Match> match =
        starts.isEmpty() ? Optional.empty() : Optional.of(new Message.Match(0, Bytes.of(start)));
    return new Message(
        name, Frame.NONE, -1, Frame.NONE, request, body, optional, match, -1, t.line());
  }

  private Message can(String name, boolean optional) {
    long id = t.longInteger("can_id", 0, 0x1FFFFFFF);
    boolean extended = t.bool("extended", id > 0x7FF);
    if (!extended && id > 0x7FF) {
      t.problem("can_id", "has more than the 11 bits of a frame that is not extended");
    }
    long mask = t.longInteger("can_mask", 0, 0x1FFFFFFF, 0x1FFFFFFF);
    long flag = extended ? CanLines.EXTENDED : 0;
    int bytes = t.integer("bytes", 0, 8, 8);
    Optional<Pages> pages = pages();
    Body body = new Body(fields(context.withPages(pages)), bytes, false).withPages(pages);
    checkExtent(body, "bytes");
    long code = id | flag;
    return new Message(
        name,
        code,
        mask | CanLines.EXTENDED,
        code,
        Bytes.NONE,
        body,
        optional,
        match(),
        -1,
        t.line());
  }

  private static boolean hasPart(FrameLayout layout, FramePart.Kind kind) {
    return layout.description().parts().stream().anyMatch(p -> p.kind() == kind);
  }

  private Optional<Message.Match> match() {
    return t.tableIfAny("match")
        .map(m -> new Message.Match(m.integer("at", 0, 4095), FrameReader.hex(m, "bytes")));
  }

  private List<Field> fields(SpecContext fieldContext) {
    List<TomlTable> tables = t.tables("field");
    if (tables.size() > 512) {
      t.problem("field", "more than 512 fields");
      return List.of();
    }
    Map<String, Field> before = new LinkedHashMap<>();
    List<Field> fields = new ArrayList<>();
    for (TomlTable table : tables) {
      Field field = new FieldReader(table, before, fieldContext).read();
      fields.add(field);
      if (!field.name().isEmpty() && before.put(field.name(), field) != null && table.has("name")) {
        table.problem("name", "is used twice in this message");
      }
    }
    fieldContext.pages().ifPresent(p -> checkPages(p, before));
    Set<String> steering =
        fields.stream().flatMap(f -> f.placedBy().stream()).collect(Collectors.toSet());
    fieldContext.pages().ifPresent(p -> steering.add(p.countField()));
    return fields.stream().map(f -> steering.contains(f.name()) ? f.asSteering() : f).toList();
  }
}
