package org.cellherd.protocol.spec;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.List;
import org.cellherd.pack.Facts;
import org.cellherd.toml.Problems;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;

/** Whatever a description states, its drawing shows, as text and as facts. */
class SpecDrawingTest {

  private static final String PARTS =
      """
      spec = 1
      id = "b"
      title = "B"
      answer_within_ms = 700
      quiet_after_miss_ms = 1500
      greatest_skew_ms = 4321
      [line]
      baud = 2400
      parity = "even"
      stop_bits = 2
      [frame]
      layout = ["start", "version", "any", "address", "code", "result", "length", "data", "checksum", "end"]
      start = "A7"
      end = "0D"
      result_good = "00"
      result_busy = [9]
      unchecked = ["any"]
      code_bytes = 2
      code_order = "little"
      [frame.constants]
      version = "20"
      any = "44"
      [frame.result_words]
      3 = "no such page"
      [frame.length]
      bytes = 2
      counts = ["length", "data"]
      plus = -1
      [frame.checksum]
      kind = "sum16"
      seed = 7
      order = "little"
      over = "characters"
      [frame.escape]
      byte = "1B"
      of = "0D 1B"
      written_as = "8D 9B"
      [request_frame]
      layout = ["start", "address", "code", "data", "end"]
      start = "7A"
      end = "0D"
      [thermistor.ntc]
      table = [[0, 27280], [25, 10000]]
      [[message]]
      name = "count"
      code = 0x11
      request_code = 0x91
      request = "01 02"
      field = [ { name = "n", type = "u8", max = 6, show = false } ]
      [[message]]
      name = "rest"
      code = 0x12
      longer = true
      optional = true
      match = { at = 0, bytes = "55" }
      field = [
        { name = "kind", type = "u8", must_be = 0x55 },
        { name = "mode", type = "u8", names = { 1 = "in", 2 = "out" } },
        { as = "cell", type = "u12", repeat = 6, up_to = "count.n", number = 3, unit = "mV", scale = 0.1525878906, out_of_range = "missing", max = 6000 },
        { as = "current", type = "m16", order = "little", unit = "A", scale = 0.1, offset = -5, direction = { field = "mode", charging = [1], discharging = [2] } },
        { as = "temperature", type = "u16", thermistor = "ntc", unit = "C" },
        { as = "temperature", number = 2, type = "u16", unit = "K", scale = 0.1, missing = [0xFFFF] },
        { as = "charge_switch", over = "mode", bit = 4, bits = 2, on = [1, 3] },
        { name = "flags", type = "u8", value = 5, bit_names = { 7 = "fan" } },
        { name = "extra", type = "u8", when = { field = "flags", bit = 3 }, min = 2 },
      ]
      """;

  private static final String LINES =
      """
      spec = 1
      id = "b"
      title = "B"
      [frame]
      kind = "line"
      style = "key_value"
      start = "$"
      end = "cr"
      longest = 99
      [frame.checksum]
      kind = "xor8"
      mark = "#"
      skip = 1
      [[message]]
      name = "all"
      request = "V?\\r"
      starts = "$V "
      field = [
        { as = "cell", key = "c{n}", repeat = 4, unit = "V" },
        { as = "temperature", key = "t{n}", unit = "C", optional = true },
      ]
      """;

  private static final String CAN =
      """
      spec = 1
      id = "b"
      title = "B"
      talk = "listen"
      [frame]
      kind = "slcan"
      [[message]]
      name = "a"
      can_id = 0x18FF0307
      can_mask = 0x1FFFFF00
      bytes = 2
      field = [ { as = "cell", type = "u16", unit = "mV" } ]
      [[message]]
      name = "b"
      can_id = 0x305
      bytes = 2
      field = [ { as = "cell", number = 2, type = "u16", unit = "mV" } ]
      """;

  private static Spec spec(String text) {
    Problems problems = new Problems();
    return SpecReader.read("b.toml", text, problems)
        .orElseThrow(() -> new AssertionError(problems.toString()));
  }

  private static void flatten(@Nullable Object value, List<String> into) {
    if (value instanceof Facts facts) {
      facts.list().forEach(f -> flatten(f.value(), into));
    } else if (value instanceof List<?> list) {
      list.forEach(v -> flatten(v, into));
    } else {
      into.add(String.valueOf(value));
    }
  }

  private static void assertShown(String description, String... words) {
    Spec spec = spec(description);
    List<String> facts = new ArrayList<>();
    flatten(SpecDrawing.facts(spec), facts);

    assertThat(SpecDrawing.of(spec)).contains(words);
    assertThat(String.join("\n", facts)).contains(words);
  }

  @Test
  void framesOfParts() {
    assertShown(
        PARTS,
        "2400 baud",
        "parity even",
        "2 stop bits",
        "answers within 700 ms",
        "needs 1500 ms of quiet after a miss",
        "at most 4321 ms apart",
        "version 20",
        "any 44 (or any other)",
        "code 2 bytes, low first",
        "result, good is 00",
        "no 3 = no such page",
        "no 9 = busy (asked again)",
        "length counts bytes of length, data -1",
        "begun with 0007 over the characters of",
        "ends where its length says",
        "0D as 1B 8D, 1B as 1B 9B",
        "start 7A");
  }

  @Test
  void messagesAndFields() {
    assertShown(
        PARTS,
        "code 11",
        "asked with code 91, 01 02",
        "identified by 55 at byte 0",
        "18 to 19 bytes of data, or more",
        "optional",
        "must be 85",
        "1 = in",
        "unsigned 12 bits big",
        "raw x 0.1525878906 mV",
        "from number 3",
        "up to count.n",
        "at most 6000",
        "else no reading",
        "magnitude 2 bytes little",
        "raw x 0.1 - 5 A",
        "direction given by mode: charging [1], discharging [2]",
        "through its thermistor's table",
        "raw x 0.1 K",
        "missing: [65535]",
        "bits 4-5",
        "of mode",
        "on: [1, 3]",
        "simulated as 5",
        "bit 7 = fan",
        "only when flags has bit 3",
        "at least 2",
        "else left out",
        "not shown",
        "else the frame is refused");
  }

  @Test
  void linesOfText() {
    assertShown(
        LINES,
        "a line of text that begins with \"$\", ended by a carriage return, at most 99 bytes",
        "checksum xor8 in hex behind '#', over all before it but the first 1 character",
        "asked with \"V?\\r\"",
        "lines that begin with \"$V \"",
        "c{n}",
        "optional");
  }

  @Test
  void framesOfCan() {
    assertShown(
        CAN,
        "a CAN frame as an slcan adapter writes it",
        "id 18FF0307 (29 bits), bits 1FFFFF00 of it",
        "id 305 (11 bits)");
  }
}
