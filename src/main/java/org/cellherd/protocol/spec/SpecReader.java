package org.cellherd.protocol.spec;

import java.util.ArrayList;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.function.ToLongFunction;
import org.cellherd.pack.Reading;
import org.cellherd.protocol.LineSettings;
import org.cellherd.protocol.Patience;
import org.cellherd.protocol.frame.Bytes;
import org.cellherd.protocol.frame.FrameLayout;
import org.cellherd.protocol.frame.Framing;
import org.cellherd.protocol.frame.ResultWords;
import org.cellherd.protocol.modbus.ModbusFrames;
import org.cellherd.protocol.modbus.ModbusWrites;
import org.cellherd.toml.Problems;
import org.cellherd.toml.TomlDocument;
import org.cellherd.toml.TomlTable;

/** Reads a description file. Any text gives a spec or problems, never an exception. */
final class SpecReader {

  /** The version of the language that this program speaks. */
  public static final int VERSION = 1;

  private static final List<String> NONE = List.of();

  private final TomlTable top;

  private SpecReader(TomlTable top) {
    this.top = top;
  }

  /** The spec of a file's text; empty when there are problems. */
  public static Optional<Spec> read(String fileName, String text, Problems problems) {
    int before = problems.count();
    Optional<TomlTable> top = TomlDocument.parse(fileName, text, problems);
    if (top.isEmpty()) {
      return Optional.empty();
    }
    Optional<Spec> spec = new SpecReader(top.get()).read();
    top.get().finish();
    if (problems.count() == before) {
      spec.ifPresent(read -> refuseWrites(read, top.get()));
    }
    return problems.count() == before ? spec : Optional.empty();
  }

  /** The bytes of a request are the describer's; those of a write are not taken. */
  private static void refuseWrites(Spec spec, TomlTable top) {
    for (Message message : spec.listenOnly() ? List.<Message>of() : spec.messages()) {
      boolean isWrite =
          message.requests().stream()
              .map(data -> spec.requests().build(1, message.requestCode(), data.array()))
              .anyMatch(ModbusWrites::isOne);
      if (isWrite) {
        top.problem(
            "message", "\"" + message.name() + "\" asks with a Modbus write, allowed: reads only");
      }
    }
  }

  private Optional<Spec> read() {
    int version = top.integer("spec", 1, 1000);
    if (version > VERSION) {
      top.problem("spec", "is " + version + ", this program reads " + VERSION);
      return Optional.empty();
    }
    String id = top.textLike("id", "[a-z0-9][a-z0-9-]{0,62}", "a-z, 0-9 and hyphen");
    String title = top.text("title");
    boolean listen = top.oneOf("talk", List.of("poll", "listen"), "poll").equals("listen");
    long skew = top.integer("greatest_skew_ms", 1, 600_000, 5000);
    Patience patience = patience(listen);
    LineSettings line = line();
    TomlTable frame = top.table("frame");
    FrameKind kind = FrameKind.of(frame.oneOf("kind", FrameKind.words(), "parts"));
    Framings framings = framings(kind, frame);
    SpecContext context =
        new SpecContext(
            top.oneOf("order", WordOrder.class, WordOrder.BIG), ThermistorReader.read(top));
    if (kind == FrameKind.SLCAN && !listen) {
      top.problem("talk", "must be \"listen\" with slcan: a monitor never sends on a CAN bus");
    }
    LineStyle style =
        kind == FrameKind.LINE
            ? LineReader.style(frame)
            : new LineStyle(LineStyle.Kind.CSV, ',', '=');
    List<Message> messages = messages(kind, framings, context, listen, style);
    return Optional.of(
        new Spec(
            id,
            title,
            line,
            kind,
            listen,
            skew,
            patience,
            holding(framings.requests, messages, false),
            holding(framings.replies, messages, true),
            messages,
            framings.results));
  }

  private Patience patience(boolean listen) {
    for (String key : listen ? List.of("answer_within_ms", "quiet_after_miss_ms") : NONE) {
      if (top.has(key)) {
        top.problem(key, "is for a board that is asked, this one talks by itself");
      }
    }
    return new Patience(
        top.integerIfAny("answer_within_ms", 1, 60_000),
        top.integer("quiet_after_miss_ms", 0, 60_000, 0));
  }

  /** A framing that expects no more data than the messages have. */
  private static Framing holding(Framing framing, List<Message> messages, boolean replies) {
    int most = 1;
    for (Message message : messages) {
      boolean open = message.body() instanceof Body body && body.mayBeLonger();
      int data = replies ? message.body().most() : message.requestData().length();
      most = Math.max(most, replies && open ? Integer.MAX_VALUE : data);
    }
    return framing instanceof FrameLayout layout ? layout.holding(most) : framing;
  }

  private record Framings(Framing requests, Framing replies, ResultWords results) {}

  private LineSettings line() {
    TomlTable line = top.tableOrEmpty("line");
    return new LineSettings(
        line.integer("baud", 50, 4_000_000, 9600),
        line.integer("data_bits", 5, 8, 8),
        line.oneOf("parity", LineSettings.Parity.class, LineSettings.Parity.NONE),
        line.integer("stop_bits", 1, 2, 1));
  }

  private Framings framings(FrameKind kind, TomlTable frame) {
    return switch (kind) {
      case MODBUS_RTU ->
          new Framings(ModbusFrames.rtu(false), ModbusFrames.rtu(true), ModbusFrames.EXCEPTIONS);
      case MODBUS_ASCII ->
          new Framings(
              ModbusFrames.ascii(false), ModbusFrames.ascii(true), ModbusFrames.EXCEPTIONS);
      case TELECOM_HEX -> telecom(frame);
      case PARTS -> parts(frame);
      case LINE -> lines(frame);
      case SLCAN -> same(new CanLines());
    };
  }

  private Framings lines(TomlTable frame) {
    Framing replies = LineReader.framing(frame);
    Framing requests =
        top.tableIfAny("request_frame").<Framing>map(LineReader::framing).orElse(replies);
    return new Framings(requests, replies, ResultWords.NONE);
  }

  private static Framings same(Framing framing) {
    return new Framings(framing, framing, ResultWords.NONE);
  }

  private static Framings telecom(TomlTable frame) {
    Bytes version = one(frame, "version");
    Bytes group = one(frame, "group");
    return new Framings(
        ReadyFrames.telecom(false, version, group),
        ReadyFrames.telecom(true, version, group),
        ReadyFrames.TELECOM_RESULTS);
  }

  private static Bytes one(TomlTable frame, String key) {
    Bytes bytes = FrameReader.hex(frame, key);
    if (bytes.length() != 1) {
      frame.problem(key, "allowed: one byte in hex such as \"20\"");
    }
    return bytes;
  }

  private Framings parts(TomlTable frame) {
    FrameLayout replies = new FrameReader(frame).layout();
    FrameLayout requests =
        top.tableIfAny("request_frame").map(r -> new FrameReader(r).layout()).orElse(replies);
    if (requests.description().ending() == FrameLayout.Ending.SILENCE) {
      requests = requests.endingBySize();
    }
    return new Framings(requests, replies, results(frame));
  }

  private static ResultWords results(TomlTable frame) {
    Map<Long, String> words = new LinkedHashMap<>();
    frame
        .tableIfAny("result_words")
        .ifPresent(
            w -> w.keys().forEach(key -> word(w, key).ifPresent(n -> words.put(n, w.text(key)))));
    return new ResultWords(words, Set.copyOf(frame.rawNumbers("result_busy")));
  }

  private static Optional<Long> word(TomlTable table, String key) {
    if (key.matches("[0-9]{1,9}")) {
      return Optional.of(Long.parseLong(key));
    }
    table.problem(key, "is no whole number");
    return Optional.empty();
  }

  private List<Message> messages(
      FrameKind kind, Framings framings, SpecContext context, boolean listen, LineStyle style) {
    List<TomlTable> tables = top.tables("message");
    if (tables.isEmpty()) {
      top.problem("message", "is missing, allowed: one [[message]] at least");
    }
    if (tables.size() > 64) {
      top.problem("message", "more than 64 messages");
    }
    List<Message> messages = new ArrayList<>();
    Map<String, Field> earlier = new LinkedHashMap<>();
    for (TomlTable table : tables) {
      SpecContext own = context.after(Map.copyOf(earlier));
      Message message = new MessageReader(table, kind, framings.replies, own, listen).read(style);
      messages.add(message);
      if (message.body() instanceof Body body) {
        body.fields().stream()
            .filter(f -> !f.name().isEmpty())
            .forEach(f -> earlier.put(message.name() + "." + f.name(), f));
      }
    }
    return telling(messages);
  }

  /** Messages that know by which of their fields others are counted. */
  private static List<Message> telling(List<Message> messages) {
    Map<String, ToLongFunction<Reading>> counts = new LinkedHashMap<>();
    for (Message message : messages) {
      if (message.body() instanceof Body body) {
        body.counts().forEach(counts::putIfAbsent);
      }
    }
    Set<String> needed = new HashSet<>();
    for (Message message : messages) {
      if (message.body() instanceof Body body) {
        body.fields().forEach(f -> needed.addAll(f.placedBy()));
      }
    }
    return messages.stream()
        .map(m -> m.telling(ownPart(m.name() + ".", counts), needed::contains))
        .toList();
  }

  private static Map<String, ToLongFunction<Reading>> ownPart(
      String prefix, Map<String, ToLongFunction<Reading>> counts) {
    Map<String, ToLongFunction<Reading>> own = new LinkedHashMap<>();
    counts.forEach(
        (name, count) -> {
          if (name.startsWith(prefix)) {
            own.put(name.substring(prefix.length()), count);
          }
        });
    return own;
  }
}
