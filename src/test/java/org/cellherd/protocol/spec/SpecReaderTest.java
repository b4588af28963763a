package org.cellherd.protocol.spec;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.stream.Stream;
import org.cellherd.toml.Problems;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.Arguments;
import org.junit.jupiter.params.provider.MethodSource;

class SpecReaderTest {

  private static final String GOOD =
      SummedBoard.asked(
          """
      [[message]]
      name = "m"
      code = 1
      [[message.field]]
      name = "n"
      type = "u8"
      [[message.field]]
      as = "cell"
      type = "u16"
      unit = "mV"
      repeat = "n"
      most = 16
      """);

  private static String problemsOf(String text) {
    Problems problems = new Problems();
    assertThat(SpecReader.read("b.toml", text, problems).isPresent()).isEqualTo(problems.isEmpty());
    return problems.toString();
  }

  @Test
  void theGoodOneIsGood() {
    assertThat(problemsOf(GOOD)).isEmpty();
  }

  static Stream<Arguments> mistakes() {
    return Stream.of(
        Arguments.of("spec = 1", "spec = 9", "b.toml:1 spec: is 9, this program reads 1"),
        Arguments.of(
            "id = \"b\"", "id = \"B b\"", "b.toml:2 id: is \"B b\", allowed: a-z, 0-9 and hyphen"),
        Arguments.of(
            "title = \"b\"",
            "titel = \"b\"",
            "b.toml:1 title: is missing, allowed: a text in quotes"),
        Arguments.of(
            "start = \"C9\"",
            "start = \"A\"",
            "b.toml:6 frame.start: is \"A\", allowed: bytes in hex such as \"9C 36\""),
        Arguments.of(
            "\"code\", \"length\"",
            "\"cod\", \"length\"",
            "b.toml:5 frame.layout: holds \"cod\", allowed: start, address, code, result, length,"
                + " data, checksum, end, or a name of [frame.constants]"),
        Arguments.of(
            "[\"start\", \"code\"",
            "[\"code\", \"start\"",
            "b.toml:5 frame.layout: start must be the first part"),
        Arguments.of(
            "\"length\", \"data\"",
            "\"data\", \"length\"",
            "b.toml:5 frame.layout: length must come before data"),
        Arguments.of("kind = \"sum8\"", "kind = \"sum9\"", "did you mean sum8?"),
        Arguments.of(
            "[frame.length]",
            "[frame.length]\ncounts = [\"date\"]",
            "holds \"date\", allowed: start, code, length, data, checksum, did you mean data?"),
        Arguments.of(
            "type = \"u8\"",
            "type = \"u99\"",
            "b.toml:15 message[1].field[1].type: is \"u99\", allowed: u1 to u64, s2 to s64"),
        Arguments.of(
            "unit = \"mV\"",
            "unit = \"mA\"",
            "b.toml:19 message[1].field[2].unit: is \"mA\", allowed: V, mV"),
        Arguments.of(
            "repeat = \"n\"",
            "repeat = \"k\"",
            "b.toml:20 message[1].field[2].repeat: is \"k\", allowed: the name of a field before"),
        Arguments.of(
            "most = 16",
            "most = 65",
            "b.toml:21 message[1].field[2].most: is 65, allowed: 1 to 64"),
        Arguments.of(
            "as = \"cell\"",
            "as = \"cells\"",
            "message[1].field[2].as: is \"cells\", allowed: cell, temperature"),
        Arguments.of(
            "most = 16",
            "most = 16\nscale = 0",
            "message[1].field[2].scale: is 0, which would lose the value"),
        Arguments.of(
            "most = 16",
            "most = 16\nthermistor = \"x\"",
            "thermistor: is \"x\", no [thermistor.x]"),
        Arguments.of(
            "most = 16",
            "most = 16\n[[message.field]]\nas = \"current\"\ntype = \"s16\"\nunit = \"A\"",
            "positive: is missing, allowed: charging, discharging (which sign is which?)"),
        Arguments.of(
            "most = 16",
            "most = 16\n[[message.field]]\nover = \"q\"\nbit = 1",
            "over: names no field before this one of the same message"),
        Arguments.of("most = 16", "most = 16\nbit = 16", "bit: lies outside the 2 bytes"),
        Arguments.of("most = 16", "most = 16\nmin = 5\nmax = 4", "min: is above max"),
        Arguments.of("code = 1", "code = 1\nsend = 1", "message[1].send: unknown key"));
  }

  @ParameterizedTest
  @MethodSource("mistakes")
  void aMistakeIsNamedWithItsLineAndWhatIsAllowed(String good, String bad, String message) {
    assertThat(GOOD).contains(good);

    assertThat(problemsOf(GOOD.replace(good, bad))).contains(message);
  }

  @Test
  void aRegisterOutsideTheBlockAndABlockTooLongAreRefused() {
    String text =
        """
        spec = 1
        id = "b"
        title = "b"
        [frame]
        kind = "modbus-rtu"
        [[message]]
        name = "m"
        function = 3
        base = 1
        register = 101
        count = %d
        field = [{ register = 200, name = "x", type = "u16" }]
        """;

    assertThat(problemsOf(text.formatted(126)))
        .contains("b.toml:11 message[1].count: is 126, allowed: 1 to 125");
    assertThat(problemsOf(text.formatted(10)))
        .contains("b.toml:12 message[1].field[1].register: is 200, allowed: 101 to 110");
    assertThat(problemsOf(text.formatted(100))).isEmpty();
  }

  @Test
  void allMistakesComeAtOnce() {
    String text = GOOD.replace("type = \"u8\"", "type = \"u99\"").replace("\"mV\"", "\"kV\"");

    assertThat(problemsOf(text).lines()).hasSizeGreaterThanOrEqualTo(2);
  }

  @Test
  void aDrawingShowsFramesAndEveryByte() {
    Spec spec = ((SpecDecoder) Specs.find("sorrel-16").orElseThrow()).spec();

    assertThat(SpecDrawing.of(spec))
        .contains(
            "| start 6B | code 1 byte | address 1 byte | length 1 byte | data | checksum 1 byte |")
        .contains("state, code 1C")
        .contains("checksum sum8-twos over the bytes of code, address, length, data")
        .containsPattern("  7-8 +unsigned 2 bytes big +soc, raw x 0.1 %, at most 100")
        .containsPattern("signed 2 bytes big +current, raw x 0.01 A, positive: discharging")
        .containsPattern("temperature, raw x 0.1 - 100 C, missing: \\[65534\\], at least -60")
        .contains("bit 2 = short circuit")
        .containsPattern("  bit 6 +of switches +discharge_switch");
  }
}
