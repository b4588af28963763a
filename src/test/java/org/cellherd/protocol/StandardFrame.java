package org.cellherd.protocol;

import static java.nio.charset.StandardCharsets.US_ASCII;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import org.cellherd.protocol.frame.Bytes;
import org.cellherd.protocol.frame.Expectation;
import org.cellherd.protocol.frame.Framing;
import org.cellherd.protocol.modbus.ModbusFrames;
import org.cellherd.protocol.modbus.RegisterRead;
import org.cellherd.protocol.spec.CanLines;
import org.cellherd.protocol.spec.SpecDecoder;
import org.cellherd.protocol.spec.Specs;
import org.cellherd.toml.Problems;

/**
 * A good frame of a published standard.
 *
 * @param name the standard and the row of its vectors
 * @param framing how it is made
 * @param expectation who waits for it
 * @param bytes on the wire
 */
record StandardFrame(String name, Framing framing, Expectation expectation, Bytes bytes) {

  @Override
  public String toString() {
    return name;
  }

  /** All good answers among the vectors. */
  static List<StandardFrame> all() {
    List<StandardFrame> all = new ArrayList<>();
    registers(all);
    asciiRegisters(all);
    sunSpec(all);
    telecom(all);
    sentences(all);
    can(all);
    return all;
  }

  private static void registers(List<StandardFrame> all) {
    for (List<String> row : Vectors.rows("modbus_rtu.csv")) {
      byte[] bytes = Vectors.bytes(row.get(0));
      if (row.get(1).equals("ok") && !row.get(2).equals("request")) {
        RegisterRead read = StandardFramesTest.readOf(bytes);
        add(all, "Modbus RTU " + row.get(0), RegisterRead.framing(), read, bytes);
      }
    }
  }

  private static void asciiRegisters(List<StandardFrame> all) {
    for (List<String> row : Vectors.rows("modbus_ascii.csv")) {
      byte[] inside = Bytes.ofHex(row.get(0).substring(1)).orElseThrow().array();
      if (inside.length != 7 || inside[1] != 3) {
        RegisterRead read = StandardFramesTest.readOf(inside);
        byte[] line = (row.get(0) + "\r\n").getBytes(US_ASCII);
        add(all, "Modbus ASCII " + row.get(0), ModbusFrames.ascii(true), read, line);
      }
    }
  }

  private static void sunSpec(List<StandardFrame> all) {
    for (List<String> row : Vectors.rows("sunspec_rtu_frames.csv")) {
      byte[] asked = Vectors.bytes(row.get(1));
      int start = ((asked[2] & 0xFF) << 8) | (asked[3] & 0xFF);
      RegisterRead read = new RegisterRead("x", asked[0] & 0xFF, asked[1], start, asked[5] & 0xFF);
      byte[] bytes = Vectors.bytes(row.get(2));
      add(all, "SunSpec " + row.get(0), RegisterRead.framing(), read, bytes);
    }
  }

  private static void telecom(List<StandardFrame> all) {
    for (List<String> row : Vectors.rows("ydt1363.csv")) {
      String frame = row.get(0);
      if (row.get(1).equals("published") || row.get(1).equals("made here")) {
        String group = frame.substring(5, 7).toUpperCase(Locale.ROOT);
        Framing framing = StandardFramesTest.telecom(group, "42").requests();
        add(all, "YD/T 1363 " + frame, framing, new AnyFrame(), (frame + "\r").getBytes(US_ASCII));
      }
    }
  }

  private static void sentences(List<StandardFrame> all) {
    for (List<String> row : Vectors.rows("nmea_xdr.csv")) {
      String sentence = row.get(0);
      String text =
          StandardFramesTest.XDR.formatted(
              sentence.substring(0, 7), "name = \"x\", transducer = \"A\", key = \"X\"");
      Problems problems = new Problems();
      SpecDecoder decoder = (SpecDecoder) Specs.read("x.toml", text, problems).orElseThrow();
      byte[] line = (sentence + "\r\n").getBytes(US_ASCII);
      add(all, "NMEA 0183 " + sentence, decoder.spec().replies(), new AnyFrame(), line);
    }
  }

  private static void can(List<StandardFrame> all) {
    for (List<String> row : Vectors.rows("slcan.csv")) {
      if (row.get(3).equals("no")) {
        byte[] line = (row.get(0) + "\r").getBytes(US_ASCII);
        add(all, "slcan " + row.get(0), new CanLines(), new AnyFrame(), line);
      }
    }
  }

  private static void add(
      List<StandardFrame> all, String name, Framing framing, Expectation waits, byte[] bytes) {
    all.add(new StandardFrame(name, framing, waits, Bytes.of(bytes)));
  }
}
