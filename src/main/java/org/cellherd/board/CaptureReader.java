package org.cellherd.board;

import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.HexFormat;
import java.util.Optional;
import java.util.OptionalLong;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.cellherd.board.CaptureChunk.Direction;
import org.cellherd.json.IsoTime;
import org.cellherd.json.JsonReader;
import org.cellherd.json.JsonValue;

/**
 * Reads a capture line by line; memory does not grow with the file. After a problem the next call
 * goes on with the next line. One thread.
 */
public final class CaptureReader implements AutoCloseable {
  private static final int LONGEST_LINE = 1 << 18;

  /** As long as a path may be. */
  private static final int LONGEST_LINK = 4096;

  /** The last ms of the year 9999. */
  private static final String EXAMPLE =
      "right is such as {\"at_ms\":1767225600000,\"dir\":\"rx\",\"hex\":\"0103\"}";

  private static final Pattern OWN_FORM =
      Pattern.compile(
          "\\{\"at_ms\":([0-9]{1,14}),(?:\"link\":\"([ !#-\\[\\]-~]{0,"
              + LONGEST_LINK
              + "})\",)?\"dir\":\"([rt]x)\",\"hex\":\"((?:[0-9a-f]{2})+)\"\\}");

  private final String name;
  private final InputStream in;
  private final JsonReader json =
      new JsonReader(new JsonReader.Limits(LONGEST_LINE, 4, LONGEST_LINE, 16));
  private final byte[] buffer = new byte[1 << 16];
  private int at;
  private int end;
  private long line;
  private boolean isTerminated;

  /** The rest of a line that was too long is still to be skipped. */
  private boolean isWithin;

  private boolean isCut;

  /** Reads from a stream; {@code name} stands in messages. */
  public CaptureReader(String name, InputStream in) {
    this.name = name;
    this.in = in;
  }

  public static CaptureReader open(Path file) throws IOException {
    return new CaptureReader(file.toString(), Files.newInputStream(file));
  }

  /** The next chunk, or empty at the end. */
  public Optional<CaptureChunk> next() throws IOException, CaptureProblem {
    while (true) {
      Optional<String> text = nextLine();
      if (text.isEmpty()) {
        return Optional.empty();
      }
      if (!text.get().isBlank()) {
        try {
          return Optional.of(chunk(text.get()));
        } catch (CaptureProblem notWhole) {
          if (isTerminated || line == 1) {
            throw notWhole;
          }
          isCut = true;
          return Optional.empty();
        }
      }
    }
  }

  private Optional<String> nextLine() throws IOException, CaptureProblem {
    while (isWithin && (at < end || fill())) {
      isWithin = !skip();
    }
    if (at == end && !fill()) {
      return Optional.empty();
    }
    line++;
    ByteArrayOutputStream bytes = new ByteArrayOutputStream(128);
    isTerminated = false;
    while (!isTerminated && (at < end || fill())) {
      int from = at;
      isTerminated = skip();
      bytes.write(buffer, from, at - from - (isTerminated ? 1 : 0));
      if (bytes.size() > LONGEST_LINE) {
        isWithin = !isTerminated;
        throw problem("longer than " + LONGEST_LINE + " bytes, is this a capture?");
      }
    }
    String text = bytes.toString(StandardCharsets.UTF_8);
    return Optional.of(line == 1 && text.startsWith("\uFEFF") ? text.substring(1) : text);
  }

  /** Goes behind the next line feed, or to the end of what is there; true when there was one. */
  private boolean skip() {
    while (at < end) {
      if (buffer[at++] == '\n') {
        return true;
      }
    }
    return false;
  }

  private boolean fill() throws IOException {
    at = 0;
    end = Math.max(0, in.read(buffer));
    return end > 0;
  }

  private CaptureChunk chunk(String text) throws CaptureProblem {
    Optional<CaptureChunk> own = ownForm(text);
    return own.isPresent() ? own.get() : anyForm(text);
  }

  /** A line as this program writes it, read without a parser: captures have a million of them. */
  private static Optional<CaptureChunk> ownForm(String text) {
    Matcher matcher = OWN_FORM.matcher(text);
    if (!matcher.matches()) {
      return Optional.empty();
    }
    byte[] bytes = HexFormat.of().parseHex(text, matcher.start(4), matcher.end(4));
    CaptureChunk.Direction way =
        text.charAt(matcher.start(3)) == 't'
            ? CaptureChunk.Direction.TX
            : CaptureChunk.Direction.RX;
    String link = matcher.group(2);
    return Optional.of(
        new CaptureChunk(
            link == null ? "" : link,
            Long.parseLong(text, matcher.start(1), matcher.end(1), 10),
            way,
            bytes));
  }

  private CaptureChunk anyForm(String text) throws CaptureProblem {
    JsonValue value;
    try {
      value = json.read(text);
    } catch (JsonReader.Problem e) {
      throw problem("no JSON: " + e.getMessage() + "; " + EXAMPLE);
    }
    OptionalLong at = value.whole("at_ms");
    if (at.isEmpty() || at.getAsLong() < 0 || at.getAsLong() > IsoTime.LAST_MS) {
      throw problem("at_ms is missing or no time in ms since 1970; " + EXAMPLE);
    }
    String dir = value.text("dir").orElse("");
    if (!dir.equals("tx") && !dir.equals("rx")) {
      throw problem("dir is \"" + shortened(dir) + "\", allowed tx rx");
    }
    String link = value.text("link").orElse("");
    if (link.length() > LONGEST_LINK) {
      throw problem("link has more than " + LONGEST_LINK + " characters");
    }
    return new CaptureChunk(
        link,
        at.getAsLong(),
        dir.equals("tx") ? Direction.TX : Direction.RX,
        hex(value.text("hex").orElse("")));
  }

  private byte[] hex(String digits) throws CaptureProblem {
    if (digits.isEmpty() || digits.length() % 2 != 0) {
      throw problem("hex must be an even number of digits, two a byte; " + EXAMPLE);
    }
    try {
      return HexFormat.of().parseHex(digits);
    } catch (IllegalArgumentException e) {
      throw problem("hex holds something else than 0-9 a-f; " + EXAMPLE);
    }
  }

  private static String shortened(String text) {
    return text.length() <= 20 ? text : text.substring(0, 20) + "...";
  }

  private CaptureProblem problem(String what) {
    return new CaptureProblem(name, line, what);
  }

  /**
   * True when the last line was left out because it is not whole: a writer was at work, or lost its
   * power.
   */
  public boolean isCut() {
    return isCut;
  }

  /** Number of the line that was read last, from 1. */
  public long line() {
    return line;
  }

  @Override
  public void close() throws IOException {
    in.close();
  }
}
