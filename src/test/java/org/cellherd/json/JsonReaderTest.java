package org.cellherd.json;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.ByteArrayInputStream;
import java.nio.charset.StandardCharsets;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class JsonReaderTest {

  private final JsonReader reader = new JsonReader(JsonReader.Limits.MESSAGE);

  @Test
  void membersAreFoundByKind() throws Exception {
    JsonValue value =
        reader.read("{\"id\":\"a-1\",\"n\":7,\"x\":-1.5e2,\"ok\":true,\"none\":null,\"l\":[1,2]}");

    assertThat(value.text("id")).hasValue("a-1");
    assertThat(value.whole("n")).hasValue(7);
    assertThat(value.number("x")).hasValue(-150.0);
    assertThat(value.truth("ok")).hasValue(true);
    assertThat(value.get("none")).containsInstanceOf(JsonValue.JsonNull.class);
    assertThat(value.items("l")).hasSize(2);
    assertThat(value.text("n")).isEmpty();
    assertThat(value.get("absent")).isEmpty();
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "{\"a\":1,\"a\":2}|Duplicate",
        "[1] x|Unrecognized token",
        "[1] 2|text after the value",
        "''|no value",
        "[1,|end-of-input",
        "1e999|number too large",
        "{'a':1}|Unexpected character",
        "NaN|NaN",
      })
  void whatIsNotOneValueIsRefused(String text, String why) {
    assertThatThrownBy(() -> reader.read(text))
        .isInstanceOf(JsonReader.Problem.class)
        .hasMessageContaining(why);
  }

  @Test
  void theProblemNamesLineAndColumn() {
    assertThatThrownBy(() -> reader.read("{\n  \"a\": ?\n}"))
        .isInstanceOf(JsonReader.Problem.class)
        .hasMessageStartingWith("line 2, column ");
  }

  @Test
  void nestingBeyondTheLimitIsRefused() {
    assertThatThrownBy(() -> reader.read("[".repeat(9_000) + "]".repeat(1_000)))
        .isInstanceOf(JsonReader.Problem.class)
        .hasMessageContaining("nesting depth");
  }

  @Test
  void manyValuesAreRefused() {
    assertThatThrownBy(() -> reader.read("[" + "1,".repeat(300) + "1]"))
        .isInstanceOf(JsonReader.Problem.class)
        .hasMessageContaining("more than 256 values");
  }

  @Test
  void aLongTextIsNotReadToItsEnd() throws Exception {
    ByteArrayInputStream in = new ByteArrayInputStream(new byte[1_000_000]);

    assertThatThrownBy(() -> reader.read(in))
        .isInstanceOf(JsonReader.Problem.class)
        .hasMessageContaining("longer than 16384 bytes");
    assertThat(in.available()).isGreaterThan(900_000);
  }

  @Test
  void longStringsAreRefused() {
    JsonReader small = new JsonReader(new JsonReader.Limits(4_096, 4, 10, 10));

    assertThatThrownBy(() -> small.read("\"" + "x".repeat(2_000) + "\""))
        .isInstanceOf(JsonReader.Problem.class);
  }

  @Test
  void bytesThatAreNotUtf8AreRefused() {
    byte[] bytes = "\"ä\"".getBytes(StandardCharsets.ISO_8859_1);

    assertThatThrownBy(() -> reader.read(bytes)).isInstanceOf(JsonReader.Problem.class);
  }

  @Test
  void hugeWholeNumbersBecomeReal() throws Exception {
    assertThat(reader.read("{\"n\":123456789012345678901}").number("n"))
        .hasValue(1.2345678901234568e20);
  }
}
