package org.cellherd.protocol;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.charset.StandardCharsets;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import org.cellherd.protocol.checksum.Checksums;
import org.cellherd.protocol.frame.Bytes;
import org.cellherd.protocol.frame.Frame;
import org.cellherd.protocol.frame.FrameScanner;
import org.cellherd.protocol.frame.FrameScanner.Verdict;
import org.cellherd.protocol.frame.Framing;
import org.cellherd.protocol.modbus.ModbusFrames;
import org.cellherd.protocol.modbus.RegisterRead;
import org.cellherd.protocol.spec.CanLines;
import org.cellherd.protocol.spec.Spec;
import org.cellherd.protocol.spec.SpecDecoder;
import org.cellherd.protocol.spec.Specs;
import org.cellherd.toml.Problems;
import org.junit.jupiter.api.Test;

/** Frames published with the standards, and broken ones made from them. */
class StandardFramesTest {

  static RegisterRead readOf(byte[] frame) {
    int count = (frame[1] & 0x80) != 0 ? 1 : (frame[2] & 0xFF) / 2;
    return new RegisterRead("x", frame[0] & 0xFF, frame[1] & 0x7F, 0, Math.max(1, count));
  }

  private static FrameScanner scan(Framing framing, RegisterRead read, byte[] bytes) {
    FrameScanner scanner = new FrameScanner(framing, read);
    scanner.append(bytes, 0, bytes.length);
    return scanner;
  }

  @Test
  void modbusRtuAnswersAreTakenOrRefusedAsPublished() {
    byte[] good = Vectors.bytes("01 03 04 00 8D 00 8E EA 7C");
    byte[] request = Vectors.bytes("01 03 00 7C 00 02 05 D3");
    int rows = 0;
    for (List<String> row : Vectors.rows("modbus_rtu.csv")) {
      byte[] bytes = Vectors.bytes(row.get(0));
      String status = row.get(1);
      if (row.get(2).equals("request")) {
        continue;
      }
      boolean asIs = status.equals("ok") || status.equals("bad-crc") || status.equals("short");
      RegisterRead read = readOf(asIs ? bytes : good);
      FrameScanner scanner = new FrameScanner(RegisterRead.framing(), read);
      scanner.expect(read, status.equals("echo") ? request : read.request().bytes());
      scanner.append(bytes, 0, bytes.length);

      Verdict verdict = scanner.next(false);

      String name = row.get(0) + " " + row.get(3);
      switch (status) {
        case "bad-crc" -> {
          assertThat(verdict).as(name).isEqualTo(Verdict.REFUSED);
          assertThat(scanner.refusal().orElseThrow().reason()).isEqualTo(Refusal.Reason.CHECKSUM);
        }
        case "short" -> {
          assertThat(verdict).as(name).isEqualTo(Verdict.WAIT);
          assertThat(scanner.next(true)).as(name).isNotEqualTo(Verdict.TAKEN);
        }
        default -> {
          assertThat(verdict).as(name).isEqualTo(Verdict.TAKEN);
          boolean exception = row.get(2).equals("exception");
          assertThat(scanner.frame().orElseThrow().isException()).as(name).isEqualTo(exception);
        }
      }
      rows++;
    }
    assertThat(rows).isEqualTo(22);
  }

  @Test
  void modbusRtuRequestsAreBuiltAsPublished() {
    for (List<String> row : Vectors.rows("modbus_rtu.csv")) {
      byte[] b = Vectors.bytes(row.get(0));
      if (row.get(2).equals("request") && b.length == 8 && (b[5] & 0xFF) <= 125) {
        int start = ((b[2] & 0xFF) << 8) | (b[3] & 0xFF);
        RegisterRead read = new RegisterRead("x", b[0] & 0xFF, b[1], start, b[5] & 0xFF);

        assertThat(Vectors.hex(read.request().bytes())).isEqualTo(row.get(0));
      }
      if (row.get(1).equals("ok")) {
        assertThat(Checksums.named("crc-16/modbus").orElseThrow().over(b)).as(row.get(0)).isZero();
      }
    }
  }

  @Test
  void modbusAsciiLinesAreTakenAsPublished() {
    int taken = 0;
    for (List<String> row : Vectors.rows("modbus_ascii.csv")) {
      byte[] line = (row.get(0) + "\r\n").getBytes(StandardCharsets.US_ASCII);
      byte[] inside = Bytes.ofHex(row.get(0).substring(1)).orElseThrow().array();
      if (inside.length == 7 && inside[1] == 3) {
        byte[] built =
            ModbusFrames.ascii(false).build(inside[0] & 0xFF, 3, Arrays.copyOfRange(inside, 2, 6));
        assertThat(built).isEqualTo(line);
        continue;
      }
      FrameScanner scanner = scan(ModbusFrames.ascii(true), readOf(inside), line);

      assertThat(scanner.next(false)).as(row.get(0)).isEqualTo(Verdict.TAKEN);
      taken++;
      line[line.length - 3] ^= 1;
      assertThat(scan(ModbusFrames.ascii(true), readOf(inside), line).next(true))
          .as(row.get(0))
          .isEqualTo(Verdict.REFUSED);
    }
    assertThat(taken).isEqualTo(6);
  }

  private static final String TELECOM =
      """
      spec = 1
      id = "t"
      title = "t"
      [frame]
      kind = "telecom-hex"
      version = "20"
      group = "%s"
      [[message]]
      name = "m"
      code = 0x%s
      field = [{ type = "skip", bytes = 1 }]
      """;

  @Test
  void telecomRequestsAreBuiltAsPublished() {
    int built = 0;
    for (List<String> row : Vectors.rows("ydt1363.csv")) {
      String frame = row.get(0);
      boolean request = row.get(1).equals("published") || row.get(2).startsWith("LENID");
      if (!request) {
        continue;
      }
      Framing framing = telecom(frame.substring(5, 7), frame.substring(7, 9)).requests();
      byte[] info = Bytes.ofHex(frame.substring(13, frame.length() - 4)).orElseThrow().array();
      byte[] wire =
          framing.build(
              Long.parseLong(frame.substring(3, 5), 16),
              Long.parseLong(frame.substring(7, 9), 16),
              info);

      String version = frame.substring(1, 3);
      String text = new String(wire, StandardCharsets.US_ASCII).strip();
      if (version.equals("20")) {
        assertThat(text).isEqualTo(frame);
        built++;
      }
    }
    assertThat(built).isGreaterThanOrEqualTo(6);
  }

  static Spec telecom(String group, String code) {
    Problems problems = new Problems();
    String text = TELECOM.formatted(group, code);
    Optional<Decoder> decoder = Specs.read("t.toml", text, problems);
    assertThat(problems.toString()).isEmpty();
    return ((SpecDecoder) decoder.orElseThrow()).spec();
  }

  @Test
  void telecomFramesAreTakenOrRefusedAsTheyShould() {
    for (List<String> row : Vectors.rows("ydt1363.csv")) {
      String frame = row.get(0);
      String group = frame.substring(5, 7).toUpperCase(Locale.ROOT);
      Framing requests = telecom(group, "42").requests();
      byte[] wire = (frame + "\r").getBytes(StandardCharsets.US_ASCII);
      FrameScanner scanner = new FrameScanner(requests, new AnyFrame());
      scanner.append(wire, 0, wire.length);

      Verdict verdict = scanner.next(true);

      boolean good = row.get(1).equals("published") || row.get(1).equals("made here");
      assertThat(verdict).as(frame).isEqualTo(good ? Verdict.TAKEN : Verdict.REFUSED);
    }
  }

  @Test
  void slcanLinesAreTakenAsPublished() {
    for (List<String> row : Vectors.rows("slcan.csv")) {
      byte[] wire = (row.get(0) + "\r").getBytes(StandardCharsets.US_ASCII);
      FrameScanner scanner = new FrameScanner(new CanLines(), new AnyFrame());
      scanner.append(wire, 0, wire.length);

      Verdict verdict = scanner.next(false);

      if (row.get(3).equals("yes")) {
        assertThat(verdict).as(row.get(0)).isEqualTo(Verdict.WAIT);
        continue;
      }
      assertThat(verdict).as(row.get(0)).isEqualTo(Verdict.TAKEN);
      Frame frame = scanner.frame().orElseThrow();
      long id = Long.parseLong(row.get(1), 16);
      assertThat(frame.code()).isEqualTo(row.get(2).equals("yes") ? id + CanLines.EXTENDED : id);
      assertThat(Vectors.hex(frame.data())).isEqualTo(row.get(5));
      assertThat(new CanLines().build(0, frame.code(), frame.data())).isEqualTo(wire);
    }
  }

  static final String XDR =
      """
      spec = 1
      id = "x"
      title = "x"
      talk = "listen"
      [frame]
      kind = "line"
      style = "xdr"
      start = "$"
      checksum = { kind = "xor8", skip = 1 }
      [[message]]
      name = "m"
      starts = "%s"
      field = [{ %s }]
      """;

  private static Dialogue xdr(String sentence, String field) {
    Problems problems = new Problems();
    String text = XDR.formatted(sentence.substring(0, 7), field);
    Dialogue dialogue = Specs.read("x.toml", text, problems).orElseThrow().dialogue(0);
    byte[] wire = (sentence + "\r\n").getBytes(StandardCharsets.US_ASCII);
    assertThat(dialogue.feed(wire, 0, wire.length))
        .as("%s", dialogue.lastRefusal())
        .isEqualTo(Dialogue.Progress.ANSWERED);
    return dialogue;
  }

  @Test
  void xdrSentencesAreTakenAsPublished() {
    List<List<String>> rows = Vectors.rows("nmea_xdr.csv");

    assertThat(
            xdr(
                    rows.get(3).get(0),
                    "as = \"pack_voltage\", transducer = \"U\", key = \"BATTERY#1\", unit = \"V\"")
                .reading(0)
                .orElseThrow()
                .packMv())
        .hasValue(53_280);
    assertThat(
            xdr(
                    rows.get(4).get(0),
                    "as = \"cell\", number = 15, repeat = 2, transducer = \"U\", key = \"CELL#{n}\", unit = \"V\"")
                .reading(0)
                .orElseThrow()
                .cells()
                .tenthMv(16))
        .isEqualTo(33_180);
    assertThat(
            xdr(
                    rows.get(2).get(0),
                    "as = \"temperature\", transducer = \"C\", key = \"AIRTEMP\", unit = \"C\"")
                .reading(0)
                .orElseThrow()
                .temperatures()
                .count())
        .as("an empty value is no reading")
        .isZero();
    assertThat(
            xdr(rows.get(0).get(0), "name = \"pitch\", transducer = \"A\", key = \"PITCH\"")
                .reading(0))
        .isPresent();
    assertThat(
            xdr(rows.get(1).get(0), "name = \"pitch\", transducer = \"A\", key = \"PTCH\"")
                .reading(0))
        .isPresent();
  }
}
