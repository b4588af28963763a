package org.cellherd.protocol.sunspec;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Random;
import java.util.Set;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Reading;
import org.cellherd.protocol.Dialogue;
import org.cellherd.protocol.Request;
import org.cellherd.protocol.Responder;
import org.cellherd.protocol.modbus.ModbusFrames;
import org.cellherd.protocol.modbus.RegisterServer;
import org.cellherd.protocol.spec.Specs;
import org.junit.jupiter.api.Test;

/**
 * Drawn banks of one to four strings, and maps that end as they should or not. Places of points by
 * the published model files 802 to 805 (SunSpec Alliance).
 */
class SunSpecBankTest {
  private static final Reading ANY = Reading.at(0).build();

  /** A map under construction, and what is true of each string. */
  private static final class DrawnBank {
    final Map<Integer, Integer> registers = new HashMap<>();
    final List<int[]> cellsMv = new ArrayList<>();
    final List<Integer> currentsMa = new ArrayList<>();
    final String words;
    private final Random random;
    private final boolean isCharging;
    private final boolean isPositiveCharging;
    private int at = 40_002;

    DrawnBank(long seed, int strings) {
      random = new Random(seed * 0x9E3779B97F4A7C15L);
      isCharging = random.nextBoolean();
      isPositiveCharging = random.nextBoolean();
      int base = random.nextInt(3) - 1;
      boolean hasStringModels = random.nextInt(4) > 0;
      boolean isGrouped = base < 0 || random.nextBoolean();
      if (!hasStringModels) {
        base = Math.max(0, base);
      }
      words =
          "seed %d, %d strings, base %d, 804 %b, grouped %b, charging %b, positive %b"
              .formatted(
                  seed, strings, base, hasStringModels, isGrouped, isCharging, isPositiveCharging);
      registers.put(40_000, 0x5375);
      registers.put(40_001, 0x6E53);
      begin(1, 66);
      for (int s = 0; s < strings; s++) {
        currentsMa.add((isCharging ? 1 : -1) * 100 * (1 + random.nextInt(300)));
      }
      bankModels(strings);
      List<Runnable> modules = new ArrayList<>();
      for (int s = 0; s < strings; s++) {
        int index = base < 0 ? 0xFFFF : base + s;
        int string = s;
        if (hasStringModels) {
          stringModel(index, string);
        }
        int[] cells = random.ints(2 + random.nextInt(6), 3200, 3500).toArray();
        cellsMv.add(cells);
        Runnable module = () -> moduleModel(index, cells);
        if (isGrouped) {
          module.run();
        } else {
          modules.add(module);
        }
      }
      modules.forEach(Runnable::run);
    }

    private int begin(int id, int length) {
      for (int i = 2; i < length + 2; i++) {
        registers.put(at + i, 0xFFFF);
      }
      registers.put(at, id);
      registers.put(at + 1, length);
      int begun = at;
      at += length + 2;
      return begun;
    }

    private int raw(int milliamps) {
      return (isPositiveCharging ? 1 : -1) * milliamps / 100 & 0xFFFF;
    }

    private void bankModels(int strings) {
      int sum = currentsMa.stream().mapToInt(Integer::intValue).sum();
      int base = begin(802, 62);
      registers.put(base + 16, isCharging ? 4 : 3);
      registers.put(base + 44, raw(sum));
      registers.put(base + 61, -1 & 0xFFFF);
      int bank = begin(803, 26 + 32 * strings);
      registers.put(bank + 2, strings);
      registers.put(bank + 24, -1 & 0xFFFF);
      registers.put(bank + 26, 0);
      for (int s = 0; s < strings; s++) {
        registers.put(bank + 28 + 32 * s + 4, 50 + s);
        registers.put(bank + 28 + 32 * s + 6, raw(currentsMa.get(s)));
      }
    }

    private void stringModel(int index, int string) {
      int begun = begin(804, 46);
      registers.put(begun + 2, index);
      registers.put(begun + 8, 50 + string);
      registers.put(begun + 38, 0);
      registers.put(begun + 13, raw(currentsMa.get(string)));
      registers.put(begun + 41, -1 & 0xFFFF);
    }

    private void moduleModel(int index, int[] cells) {
      int begun = begin(805, 42 + 4 * cells.length);
      registers.put(begun + 2, index);
      registers.put(begun + 4, cells.length);
      registers.put(begun + 42, -3 & 0xFFFF);
      for (int i = 0; i < cells.length; i++) {
        registers.put(begun + 44 + 4 * i, cells[i]);
      }
    }

    /** Ends the map, or does not: in nothing, in zeros, in registers that never were. */
    boolean end(int way) {
      if (way == 0) {
        registers.put(at, 0xFFFF);
        registers.put(at + 1, 0);
      } else if (way == 1) {
        for (int i = 0; i < 20; i++) {
          registers.put(at + i, 0);
        }
      }
      return way == 0;
    }
  }

  private static Dialogue talk(String spec, DrawnBank bank, boolean isMuteBeyond, int cycles) {
    Dialogue dialogue = Specs.find(spec).orElseThrow().dialogue(1);
    Responder server =
        new RegisterServer(
            ModbusFrames.rtu(false),
            ModbusFrames.rtu(true),
            1,
            Set.of(3L),
            (f, r) -> bank.registers);
    for (int cycle = 0; cycle < cycles; cycle++) {
      dialogue.begin();
      boolean goesOn = true;
      while (goesOn) {
        Optional<Request> request = dialogue.nextRequest();
        byte[] reply = request.map(r -> server.feed(r.bytes(), () -> ANY)).orElse(new byte[0]);
        boolean isMute = isMuteBeyond && reply.length > 1 && (reply[1] & 0x80) != 0;
        goesOn =
            !isMute
                && request.isPresent()
                && dialogue.feed(reply, 0, reply.length) == Dialogue.Progress.ANSWERED;
      }
    }
    return dialogue;
  }

  /** What ends a map instead of its end model, by the way of {@link DrawnBank#end}. */
  private static final List<String> ENDS =
      List.of("", "what is no model", "has no registers", "is silent");

  private static boolean doubtsTheEnd(Dialogue dialogue, String why) {
    return dialogue.doubts().stream()
        .anyMatch(d -> d.isKept() && d.text().contains("end model") && d.text().contains(why));
  }

  @Test
  void eachStringOfABankIsAPackOfItsOwn() {
    for (int seed = 0; seed < 300; seed++) {
      int strings = 1 + seed % 4;
      DrawnBank bank = new DrawnBank(seed, strings);
      bank.end(0);
      for (int string = 1; string <= strings; string++) {
        Dialogue dialogue = talk("sunspec:" + string, bank, false, 2);

        String which = bank.words + ", string " + string + " " + dialogue.lastRefusal();
        Reading reading = dialogue.reading(5).orElseThrow(() -> new AssertionError(which));
        CellVoltages right = CellVoltages.ofMv(bank.cellsMv.get(string - 1));
        assertThat(reading.cells()).as(which).isEqualTo(right);
        assertThat(reading.currentMa()).as(which).hasValue(bank.currentsMa.get(string - 1));
        int soc = 10 * (50 + string - 1);
        assertThat(reading.socTenthPct()).as(which).hasValue(soc);
        assertThat(doubtsTheEnd(dialogue, "")).as(which).isFalse();
      }
      Dialogue beyond = talk("sunspec:" + (strings + 1), bank, false, 1);
      assertThat(beyond.reading(5)).as(bank.words).isEmpty();
      Dialogue all = talk("sunspec", bank, false, 1);
      assertThat(all.reading(5).isPresent()).as(bank.words).isEqualTo(strings == 1);
      if (strings > 1) {
        assertThat(all.lastRefusal().orElseThrow().detail())
            .as(bank.words)
            .contains(strings + " strings", "sunspec:1");
      }
    }
  }

  @Test
  void aMapWithoutItsEndIsReadAsFarAsItGoesAndThatIsSaid() {
    for (int seed = 0; seed < 200; seed++) {
      DrawnBank bank = new DrawnBank(seed, 1);
      int way = seed % 4;
      boolean isEnded = bank.end(way);
      boolean isMute = way == 3;

      Dialogue dialogue = talk("sunspec", bank, isMute, 4);

      String which = bank.words + ", way " + way + " " + dialogue.lastRefusal();
      Reading reading = dialogue.reading(5).orElseThrow(() -> new AssertionError(which));
      assertThat(reading.cells()).as(which).isEqualTo(CellVoltages.ofMv(bank.cellsMv.get(0)));
      assertThat(doubtsTheEnd(dialogue, ENDS.get(way))).as(which).isEqualTo(!isEnded);
    }
  }
}
