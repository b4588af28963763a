package org.cellherd.board;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.ByteArrayInputStream;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.util.List;
import org.cellherd.board.CaptureChunk.Direction;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

class CaptureReaderTest {

  private static CaptureReader of(String text) {
    return new CaptureReader(
        "night.jsonl", new ByteArrayInputStream(text.getBytes(StandardCharsets.UTF_8)));
  }

  @Test
  void theExampleOfTheFormatIsRead() throws Exception {
    CaptureReader reader =
        of(
            "{\"at_ms\":1767225600000,\"dir\":\"tx\",\"hex\":\"0103\"}\n\n"
                + "{\"at_ms\":1767225600005,\"dir\":\"rx\",\"hex\":\"01F0\"}");

    assertThat(List.of(reader.next().orElseThrow(), reader.next().orElseThrow()))
        .containsExactly(
            new CaptureChunk(1767225600000L, Direction.TX, new byte[] {1, 3}),
            new CaptureChunk(1767225600005L, Direction.RX, new byte[] {1, (byte) 0xF0}));
    assertThat(reader.next()).isEmpty();
  }

  /** A writer may be at work, or have lost its power in the middle of a line. */
  @Test
  void aLastLineThatIsNotWholeIsLeftOut() throws Exception {
    String whole = "{\"at_ms\":1,\"dir\":\"rx\",\"hex\":\"01\"}\n";
    CaptureReader reader = of(whole + whole.substring(0, 20));

    assertThat(reader.next()).isPresent();
    assertThat(reader.next()).isEmpty();
    assertThat(reader.isCut()).isTrue();
    CaptureReader broken = of(whole + whole.substring(0, 20) + "\n" + whole);
    assertThat(broken.next()).isPresent();
    assertThatThrownBy(broken::next).hasMessageContaining("night.jsonl:2");
  }

  @Test
  void whatIsWrittenIsReadBack() throws Exception {
    StringBuilder file = new StringBuilder();
    CaptureWriter writer = new CaptureWriter(file, "", () -> 1767225600123L);
    byte[] all = new byte[256];
    for (int i = 0; i < all.length; i++) {
      all[i] = (byte) i;
    }
    writer.write(Direction.RX, all, all.length);

    assertThat(of(file.toString()).next())
        .contains(new CaptureChunk(1767225600123L, Direction.RX, all));
  }

  /** Lines as the program writes them are read without a parser, and must mean the same to it. */
  @ParameterizedTest
  @ValueSource(
      strings = {
        "",
        "a",
        "tcp:127.0.0.1:1",
        "/dev/x \"1\"",
        "C:\\u0041",
        "\u00fc",
        "a\tb",
        "[]!#~"
      })
  void aLineOfAnyNameIsReadAsTheParserReadsIt(String link) throws Exception {
    CaptureChunk chunk = new CaptureChunk(link, 7, Direction.TX, new byte[] {1, (byte) 0xF0});
    String spaced = chunk.line().replaceFirst("\"at_ms\":", "\"at_ms\" : ");

    assertThat(of(chunk.line()).next()).contains(chunk);
    assertThat(of(spaced).next()).contains(chunk);
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      quoteCharacter = '\0',
      value = {
        "hello | no JSON",
        "{\"dir\":\"rx\",\"hex\":\"01\"} | at_ms is missing",
        "{\"at_ms\":-5,\"dir\":\"rx\",\"hex\":\"01\"} | at_ms is missing",
        "{\"at_ms\":1e99,\"dir\":\"rx\",\"hex\":\"01\"} | at_ms is missing",
        "{\"at_ms\":1,\"dir\":\"in\",\"hex\":\"01\"} | dir is \"in\", allowed tx rx",
        "{\"at_ms\":1,\"dir\":\"rx\",\"hex\":\"012\"} | hex must be an even number of digits",
        "{\"at_ms\":1,\"dir\":\"rx\",\"hex\":\"zz\"} | hex holds something else",
        "{\"at_ms\":1,\"dir\":\"rx\"} | hex must be",
        "[1,2] | at_ms is missing",
      })
  void aBadLineIsNamedAndTheNextIsRead(String bad, String message) throws Exception {
    CaptureReader reader = of("\n" + bad + "\n{\"at_ms\":1,\"dir\":\"rx\",\"hex\":\"01\"}\n");

    assertThatThrownBy(reader::next)
        .isInstanceOf(CaptureProblem.class)
        .hasMessageStartingWith("night.jsonl:2: " + message);
    assertThat(reader.next()).isPresent();
  }

  @Test
  void aLineWithoutEndIsRefusedWithoutBeingKept() {
    CaptureReader reader = of("x".repeat(1_000_000));

    assertThatThrownBy(reader::next).hasMessageContaining("night.jsonl:1: longer than 262144");
  }

  @Test
  void aFullDiskEndsTheCaptureAndNothingElse() {
    CaptureWriter writer =
        new CaptureWriter(
            new Appendable() {
              @Override
              public Appendable append(CharSequence text) throws IOException {
                throw new IOException("No space left on device");
              }

              @Override
              public Appendable append(CharSequence text, int from, int to) throws IOException {
                throw new IOException("No space left on device");
              }

              @Override
              public Appendable append(char c) throws IOException {
                throw new IOException("No space left on device");
              }
            },
            "",
            () -> 7L);

    assertThat(writer.write(Direction.TX, new byte[] {1}, 1)).isEqualTo(7);
    assertThat(writer.problem()).contains("capture ended: No space left on device");
  }
}
