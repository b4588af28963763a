package org.cellherd.protocol;

import static org.assertj.core.api.Assertions.assertThat;

import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Random;
import java.util.Set;
import java.util.TreeMap;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Reading;
import org.cellherd.pack.Temperatures;
import org.cellherd.protocol.modbus.ModbusFrames;
import org.cellherd.protocol.modbus.RegisterServer;
import org.cellherd.protocol.spec.Specs;
import org.junit.jupiter.api.Test;

/**
 * The SunSpec fixture of an invented 16-cell device; its expected values came from another decoder.
 */
class SunSpecTest {

  private static final Reading EXPECTED =
      Reading.at(5)
          .cells(
              CellVoltages.ofMv(
                  3331, 3330, 3332, 3329, 3331, 3330, 3331, 3332, 3330, 3331, 3329, 3330, 3331,
                  3332, 3412, 3318))
          .temperatures(
              Temperatures.ofTenthC(
                  214, 214, 215, 215, 216, 216, 217, 217, 218, 218, 219, 219, 220, 220, 221, 221))
          .currentMa(12_500)
          .packMv(53_400)
          .socTenthPct(873)
          .bleedMask(1 << 14)
          .boardAlarms(1 << 17)
          .build();

  private final Dialogue dialogue = Specs.find("sunspec").orElseThrow().dialogue(1);

  private static Map<Integer, Integer> fixture() {
    Map<Integer, Integer> registers = new TreeMap<>();
    for (List<String> row : Vectors.rows("sunspec_registers.csv")) {
      registers.put(Integer.parseInt(row.get(0)), Integer.parseInt(row.get(1), 16));
    }
    return registers;
  }

  private static Responder server(Map<Integer, Integer> registers) {
    return new RegisterServer(
        ModbusFrames.rtu(false), ModbusFrames.rtu(true), 1, Set.of(3L), (f, r) -> registers);
  }

  private List<String> cycle(Responder server) {
    return cycle(dialogue, server);
  }

  private static List<String> cycle(Dialogue talk, Responder server) {
    List<String> labels = new ArrayList<>();
    talk.begin();
    for (Optional<Request> r = talk.nextRequest(); r.isPresent(); r = talk.nextRequest()) {
      labels.add(r.get().label());
      byte[] reply = server.feed(r.get().bytes(), () -> EXPECTED);
      if (talk.feed(reply, 0, reply.length) != Dialogue.Progress.ANSWERED) {
        break;
      }
    }
    return labels;
  }

  @Test
  void theFixtureIsFoundWalkedAndDecoded() {
    Responder server = server(fixture());

    cycle(server);

    assertThat(dialogue.reading(5)).contains(EXPECTED);
    assertThat(dialogue.boardIdentity()).startsWith("TestMaker TestPack16S");
    assertThat(dialogue.extras())
        .contains(
            new Dialogue.Extra("state of health", "96.2 %"),
            new Dialogue.Extra("cycles", "41"),
            new Dialogue.Extra("charge status", "charging"),
            new Dialogue.Extra("events", "voltage imbalance warning"));
  }

  @Test
  void theMapIsWalkedOnlyOnce() {
    Responder server = server(fixture());
    cycle(server);

    assertThat(cycle(server)).containsExactly("model 802", "model 803", "model 804", "model 805");
    assertThat(dialogue.reading(5)).contains(EXPECTED);
  }

  @Test
  void publishedRequestsAndAnswersAreSpoken() {
    Map<String, String> answers = new TreeMap<>();
    for (List<String> row : Vectors.rows("sunspec_rtu_frames.csv")) {
      answers.put(row.get(1), row.get(2));
    }
    Responder server = server(fixture());
    int compared = 0;
    dialogue.begin();
    for (Optional<Request> r = dialogue.nextRequest(); r.isPresent(); r = dialogue.nextRequest()) {
      byte[] reply = server.feed(r.get().bytes(), () -> EXPECTED);
      String published = answers.get(Vectors.hex(r.get().bytes()));
      if (published != null) {
        assertThat(Vectors.hex(reply)).isEqualTo(published);
        compared++;
      }
      dialogue.feed(reply, 0, reply.length);
    }

    assertThat(compared).isGreaterThanOrEqualTo(11);
  }

  @Test
  void aMapAtZeroOrFiftyThousandIsFoundToo() {
    for (int base : new int[] {0, 50_000}) {
      Map<Integer, Integer> moved = new TreeMap<>();
      fixture().forEach((at, value) -> moved.put(at - 40_000 + base, value));
      Dialogue other = Specs.find("sunspec").orElseThrow().dialogue(1);
      Responder server = server(moved);
      other.begin();
      for (Optional<Request> r = other.nextRequest(); r.isPresent(); r = other.nextRequest()) {
        byte[] reply = server.feed(r.get().bytes(), () -> EXPECTED);
        other.feed(reply, 0, reply.length);
      }

      assertThat(other.reading(5)).contains(EXPECTED);
    }
  }

  @Test
  void aDeviceWithoutMapSaysSoAndEndsTheCycle() {
    assertThat(cycle(server(Map.of(1, 1)))).containsExactly("marker", "marker", "marker");

    assertThat(dialogue.reading(5)).isEmpty();
    assertThat(dialogue.lastRefusal()).isPresent();
  }

  @Test
  void aLongerCommonModelIsWalkedByItsLength() {
    Map<Integer, Integer> registers = new TreeMap<>();
    fixture().forEach((at, value) -> registers.put(at >= 40_070 ? at - 1 : at, value));
    registers.put(40_003, 65);

    cycle(server(registers));

    assertThat(dialogue.reading(5)).contains(EXPECTED);
  }

  @Test
  void whatIsNotImplementedIsMissing() {
    Map<Integer, Integer> registers = fixture();
    registers.put(40_070 + 34, 0xFFFF);
    registers.put(40_070 + 44, 0x8000);
    registers.put(40_258 + 44, 0xFFFF);
    registers.put(40_258 + 45, 0x8000);

    cycle(server(registers));

    Reading reading = dialogue.reading(5).orElseThrow();
    assertThat(reading.packMv()).isEmpty();
    assertThat(reading.currentMa()).isEmpty();
    assertThat(reading.cells().has(1)).isFalse();
    assertThat(reading.cells().tenthMv(2)).isEqualTo(33_300);
    assertThat(reading.temperatures().has(1)).isFalse();
  }

  @Test
  void theSignOfTheCurrentFollowsTheChargeStatus() {
    Map<Integer, Integer> registers = fixture();
    registers.put(40_070 + 16, 3);

    cycle(server(registers));

    assertThat(dialogue.reading(5).orElseThrow().currentMa()).hasValue(-12_500);
  }

  @Test
  void randomMapsEndTheWalk() {
    for (int seed = 0; seed < 50; seed++) {
      Random random = new Random(seed);
      Map<Integer, Integer> registers = new TreeMap<>();
      for (int i = 0; i < 65_536; i++) {
        registers.put(i, random.nextInt(65_536));
      }
      registers.put(40_000, 0x5375);
      registers.put(40_001, 0x6E53);
      Responder server = server(registers);
      for (int cycle = 0; cycle < 3; cycle++) {
        assertThat(cycle(server)).as("seed %d", seed).hasSizeLessThan(400);
        dialogue.reading(5);
      }
    }
  }

  @Test
  void aValueBeyondAReadingIsLeftOutAndSaidNeverClamped() {
    for (int seed = 0; seed < 200; seed++) {
      Random random = new Random(seed);
      Map<Integer, Integer> registers = fixture();
      int scale = random.nextInt(21) - 10;
      registers.put(40_258 + 42, scale & 0xFFFF);
      registers.put(40_070 + 59, scale & 0xFFFF);
      int cell = random.nextInt(0xFFFF);
      int pack = random.nextInt(0xFFFF);
      registers.put(40_258 + 44, cell);
      registers.put(40_070 + 34, pack);
      registers.put(40_070 + 26, 0x8000);

      cycle(server(registers));

      Reading reading = dialogue.reading(5).orElseThrow();
      String which = "seed " + seed + ", scale " + scale + ", " + cell + ", " + pack;
      boolean hasCell = fits(cell, scale + 4);
      assertThat(reading.cells().has(1)).as(which).isEqualTo(hasCell);
      assertThat(reading.packMv().isPresent()).as(which).isEqualTo(fits(pack, scale + 3));
      assertThat(isDoubted("cell 1", false)).as(which).isNotEqualTo(hasCell);
      boolean isBeyondSixVolts = hasCell && reading.cells().tenthMv(1) > 60_000;
      assertThat(isDoubted("cell 1", true)).as(which).isEqualTo(isBeyondSixVolts);
      assertThat(reading.boardAlarms().orElse(0) >>> 31).as(which).isEqualTo(1);
    }
  }

  /** Registers of model 802 and 805 that voltage, current, its sign and the cells rest on. */
  private static boolean isMeasured(int id, int offset) {
    return offset < 2
        || (id == 802 && Set.of(16, 34, 44, 59, 61).contains(offset))
        || (id == 805 && Set.of(4, 42, 43).contains(offset))
        || (id == 805 && offset >= 44 && offset % 4 < 2);
  }

  private static int at(Map<Integer, Integer> registers, int address) {
    return registers.getOrDefault(address, 0xFFFF);
  }

  @Test
  void whatIsNotMeasuredNeverCostsTheReading() {
    for (int seed = 0; seed < 200; seed++) {
      Random random = new Random(seed);
      Map<Integer, Integer> registers = fixture();
      for (int at = 40_002; at(registers, at) != 0xFFFF; at += 2 + at(registers, at + 1)) {
        for (int offset = 2; offset < 2 + at(registers, at + 1); offset++) {
          int way = random.nextInt(5);
          int wild = way == 0 ? 0xFFFF : way == 1 ? 0x8000 : random.nextInt(0x10000);
          if (way < 4 && !isMeasured(at(registers, at), offset)) {
            registers.put(at + offset, wild);
          }
        }
      }
      Dialogue talk = Specs.find("sunspec").orElseThrow().dialogue(1);

      cycle(talk, server(registers));

      Reading reading = talk.reading(5).orElseThrow(() -> new AssertionError(talk.lastRefusal()));
      assertThat(reading.cells()).as("seed %d", seed).isEqualTo(EXPECTED.cells());
      assertThat(reading.temperatures()).as("seed %d", seed).isEqualTo(EXPECTED.temperatures());
      assertThat(reading.currentMa()).as("seed %d", seed).isEqualTo(EXPECTED.currentMa());
      assertThat(reading.packMv()).as("seed %d", seed).isEqualTo(EXPECTED.packMv());
    }
  }

  private boolean isDoubted(String name, boolean isKept) {
    return dialogue.doubts().stream().anyMatch(d -> d.name().equals(name) && d.isKept() == isKept);
  }

  private static boolean fits(int raw, int power) {
    return BigDecimal.valueOf(raw)
            .movePointRight(power)
            .compareTo(BigDecimal.valueOf(Integer.MAX_VALUE))
        <= 0;
  }

  @Test
  void theInventedMapTellsItsReading() {
    cycle(Specs.find("sunspec").orElseThrow().responder(1).orElseThrow());
    assertThat(dialogue.reading(5).orElseThrow().cells()).isEqualTo(EXPECTED.cells());
  }
}
