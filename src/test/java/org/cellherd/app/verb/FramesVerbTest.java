package org.cellherd.app.verb;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.HexFormat;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A draft is tried on its own capture, and what is left to the owner is said. */
class FramesVerbTest {
  private static final int MESSAGES = 60;

  @TempDir private Path folder;

  /** Eight cells of an invented board under a sum, each eleventh message with a byte turned. */
  private Path capture() throws IOException {
    Random random = new Random(4);
    StringBuilder lines = new StringBuilder();
    for (int n = 0; n < MESSAGES; n++) {
      byte[] message = new byte[20];
      message[0] = (byte) 0xC3;
      message[1] = 0x18;
      for (int cell = 0; cell < 8; cell++) {
        int mv = 3290 + 5 * cell + random.nextInt(4) - n / 6 % 2 * 20;
        message[2 + 2 * cell] = (byte) (mv >> 8);
        message[3 + 2 * cell] = (byte) mv;
      }
      message[18] = (byte) n;
      for (int i = 0; i < 19; i++) {
        message[19] += message[i];
      }
      message[9] ^= (byte) (n % 11 == 10 ? 0x40 : 0);
      lines.append("{\"at_ms\":").append(1_700_000_000_000L + 1000L * n);
      lines.append(",\"dir\":\"rx\",\"hex\":\"").append(HexFormat.of().formatHex(message));
      lines.append("\"}\n");
    }
    return Files.writeString(folder.resolve("board.jsonl"), lines);
  }

  private Said frames(String... more) throws IOException {
    String[] words = new String[4 + more.length];
    words[0] = "frames";
    words[1] = capture().toString();
    words[2] = "--draft";
    words[3] = folder.resolve("draft" + more.length + ".toml").toString();
    System.arraycopy(more, 0, words, 4, more.length);
    return Said.by(words);
  }

  @Test
  void theDraftIsTriedAndWhatIsOpenIsSaid() throws IOException {
    Said said = frames();

    assertThat(said.out())
        .contains("the draft takes 55 messages and refuses 5: 55 readings.")
        .contains("cell  8  3.3")
        .contains("Cells (bytes 3-18): that cell 1 is the pack's first one, and their unit.")
        .contains("so the current was not found");
    assertThat(Files.readString(folder.resolve("draft0.toml"))).contains("repeat = 8");
  }

  @Test
  void whatAMeterToldIsNoLongerOpen() throws IOException {
    Said said = frames("--known", "cell 1 = 3.291 V at 0 s");

    assertThat(said.out()).contains("8 cell voltages in mV").doesNotContain("Cells (bytes");
  }

  @Test
  void aDraftOfPagesThatOnlyTheirQuestionsTellIsTriedAsItAsks() throws IOException {
    Path file = folder.resolve("pages.jsonl");
    StringBuilder lines = new StringBuilder();
    for (int n = 0; n < 60; n++) {
      for (int page = 0; page < 2; page++) {
        byte[] cells = new byte[13];
        cells[0] = (byte) 0xC9;
        for (int cell = 0; cell < 5; cell++) {
          int mv = 3300 + 7 * cell + 3 * page + (n * (cell + 3)) % 11;
          cells[2 + 2 * cell] = (byte) (mv >> 8);
          cells[3 + 2 * cell] = (byte) mv;
        }
        for (int i = 0; i < 12; i++) {
          cells[12] += cells[i];
        }
        long at = 1_700_000_000_000L + 1000L * n + 100L * page;
        lines.append(line(at, "tx", new byte[] {0x5A, (byte) page, (byte) (0x5A + page)}));
        lines.append(line(at + 20, "rx", cells));
      }
    }
    Files.writeString(file, lines);

    Said said = Said.by("frames", file.toString(), "--draft", folder.resolve("p.toml").toString());

    assertThat(said.out()).contains("takes 120 messages and refuses 0: 60 readings.");
  }

  @Test
  void aCaptureOfAnotherAddressIsSaidToBe() throws IOException {
    Path file = folder.resolve("nine.jsonl");
    byte[] heard = HexFormat.of().parseHex("5a09a00e040d030d020d040d0100000041ff0340");
    Files.writeString(file, line(1_700_000_000_000L, "rx", heard));

    Said said = Said.by("spec", "test", "sorrel-16", file.toString());

    assertThat(said.out())
        .contains("no frame of address 1: if the board has another")
        .contains("--address");
  }

  private static String line(long atMs, String way, byte[] bytes) {
    return "{\"at_ms\":%d,\"dir\":\"%s\",\"hex\":\"%s\"}%n"
        .formatted(atMs, way, HexFormat.of().formatHex(bytes));
  }
}
