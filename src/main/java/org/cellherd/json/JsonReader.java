package org.cellherd.json;

import com.fasterxml.jackson.core.JsonFactory;
import com.fasterxml.jackson.core.JsonLocation;
import com.fasterxml.jackson.core.JsonParser;
import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.core.JsonToken;
import com.fasterxml.jackson.core.StreamReadConstraints;
import com.fasterxml.jackson.core.StreamReadFeature;
import java.io.IOException;
import java.io.InputStream;
import java.nio.ByteBuffer;
import java.nio.charset.CharacterCodingException;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;

/**
 * Reads JSON (RFC 8259, UTF-8) from outside within limits. Doubled names and anything after the
 * value are refused. Safe for any thread.
 */
public final class JsonReader {

  /** Digits of one number; more say nothing. */
  private static final int NUMBER_DIGITS = 100;

  private static final JsonValue NULL = new JsonValue.JsonNull();

  private final Limits limits;
  private final JsonFactory factory;

  /** A reader that refuses what is beyond the limits. */
  public JsonReader(Limits limits) {
    this.limits = limits;
    this.factory =
        JsonFactory.builder()
            .disable(JsonFactory.Feature.INTERN_FIELD_NAMES)
            .disable(JsonFactory.Feature.CANONICALIZE_FIELD_NAMES)
            .enable(StreamReadFeature.STRICT_DUPLICATE_DETECTION)
            .streamReadConstraints(
                StreamReadConstraints.builder()
                    .maxNestingDepth(limits.depth())
                    .maxStringLength(limits.string())
                    .maxNameLength(limits.string())
                    .maxNumberLength(NUMBER_DIGITS)
                    .build())
            .build();
  }

  public JsonValue read(String text) throws Problem {
    return read(text.getBytes(StandardCharsets.UTF_8));
  }

  /**
   * Reads one value from a stream, which is not closed and not read beyond the limit.
   *
   * @throws IOException when the stream fails
   */
  public JsonValue read(InputStream in) throws Problem, IOException {
    return read(in.readNBytes(limits.bytes() + 1));
  }

  public JsonValue read(byte[] utf8) throws Problem {
    if (utf8.length > limits.bytes()) {
      throw new Problem(1, 1, "longer than " + limits.bytes() + " bytes");
    }
    return parse(strictly(utf8));
  }

  private JsonValue parse(String text) throws Problem {
    try (JsonParser parser = factory.createParser(text)) {
      return new Run(parser).document();
    } catch (JsonProcessingException e) {
      throw problem(e.getLocation(), e.getOriginalMessage());
    } catch (IOException e) {
      throw new Problem(1, 1, "unreadable: " + e.getMessage());
    }
  }

  /** The library would guess at UTF-16 and UTF-32 and let some broken UTF-8 pass. */
  private static String strictly(byte[] utf8) throws Problem {
    try {
      return StandardCharsets.UTF_8.newDecoder().decode(ByteBuffer.wrap(utf8)).toString();
    } catch (CharacterCodingException e) {
      throw new Problem(1, 1, "not UTF-8 text");
    }
  }

  private static Problem problem(@Nullable JsonLocation at, @Nullable String message) {
    String what = message == null ? "not JSON" : message.lines().findFirst().orElse("not JSON");
    return at == null
        ? new Problem(1, 1, what)
        : new Problem(Math.max(1, at.getLineNr()), Math.max(1, at.getColumnNr()), what);
  }

  private final class Run {
    private final JsonParser parser;
    private int values;

    Run(JsonParser parser) {
      this.parser = parser;
    }

    JsonValue document() throws IOException, Problem {
      JsonToken first = parser.nextToken();
      if (first == null) {
        throw problem(parser.currentLocation(), "no value");
      }
      JsonValue value = value(first);
      if (parser.nextToken() != null) {
        throw problem(parser.currentLocation(), "text after the value");
      }
      return value;
    }

    private JsonValue value(JsonToken token) throws IOException, Problem {
      if (++values > limits.values()) {
        throw problem(parser.currentLocation(), "more than " + limits.values() + " values");
      }
      return switch (token) {
        case START_OBJECT -> object();
        case START_ARRAY -> array();
        case VALUE_STRING -> new JsonValue.JsonString(parser.getText());
        case VALUE_NUMBER_INT -> whole();
        case VALUE_NUMBER_FLOAT -> real();
        case VALUE_TRUE -> new JsonValue.JsonTruth(true);
        case VALUE_FALSE -> new JsonValue.JsonTruth(false);
        case VALUE_NULL -> NULL;
        default -> throw problem(parser.currentLocation(), "unexpected " + token);
      };
    }

    private JsonValue object() throws IOException, Problem {
      Map<String, JsonValue> members = new LinkedHashMap<>();
      while (parser.nextToken() == JsonToken.FIELD_NAME) {
        String name = parser.currentName();
        members.put(name, value(parser.nextToken()));
      }
      return new JsonValue.JsonObject(members);
    }

    private JsonValue array() throws IOException, Problem {
      List<JsonValue> items = new ArrayList<>();
      for (JsonToken t = parser.nextToken(); t != JsonToken.END_ARRAY; t = parser.nextToken()) {
        items.add(value(t));
      }
      return new JsonValue.JsonArray(items);
    }

    private JsonValue whole() throws IOException, Problem {
      return switch (parser.getNumberType()) {
        case INT, LONG -> new JsonValue.JsonWhole(parser.getLongValue());
        default -> real();
      };
    }

    private JsonValue real() throws IOException, Problem {
      double value = Double.parseDouble(parser.getText());
      if (!Double.isFinite(value)) {
        throw problem(parser.currentLocation(), "number too large");
      }
      return new JsonValue.JsonReal(value);
    }
  }

  /**
   * How much of a stranger's JSON is read before it is refused.
   *
   * @param bytes whole text
   * @param depth nested brackets, at most 200
   * @param string characters of one string or name
   * @param values values in all
   */
  public record Limits(int bytes, int depth, int string, int values) {

    /** A small message, such as an acknowledgement or one line of a capture. */
    public static final Limits MESSAGE = new Limits(16_384, 8, 16_384, 256);

    /** Refuses limits that do not limit. */
    public Limits {
      if (bytes < 1 || depth < 1 || depth > 200 || string < 1 || values < 1) {
        throw new IllegalArgumentException(
            "limits " + bytes + " bytes, depth " + depth + ", " + string + ", " + values);
      }
    }
  }

  /** Text that is not JSON, or more of it than allowed. The message begins with line and column. */
  public static final class Problem extends Exception {

    Problem(long line, long column, String what) {
      super("line " + line + ", column " + column + ": " + what, null, false, false);
    }
  }
}
