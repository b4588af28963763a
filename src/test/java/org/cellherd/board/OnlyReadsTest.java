package org.cellherd.board;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.util.ArrayList;
import java.util.HashSet;
import java.util.HexFormat;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import java.util.Set;
import java.util.stream.Stream;
import org.cellherd.pack.SimulatedTime;
import org.cellherd.protocol.Decoder;
import org.cellherd.protocol.Dialogue;
import org.cellherd.protocol.LineSettings;
import org.cellherd.protocol.Request;
import org.cellherd.protocol.modbus.ModbusFrames;
import org.cellherd.protocol.modbus.ModbusWrites;
import org.cellherd.protocol.spec.Specs;
import org.cellherd.toml.Problems;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;
import org.junit.jupiter.params.provider.ValueSource;

/** What a board can be sent: reads, whatever it answers and whatever a description says. */
class OnlyReadsTest {

  private static final Set<Integer> MODBUS_READS = Set.of(3, 4);

  static Stream<Decoder> decoders() {
    return Stream.concat(Specs.shipped().stream(), Specs.coded().stream());
  }

  @ParameterizedTest
  @MethodSource("decoders")
  void noAnswerTurnsARequestIntoAWrite(Decoder decoder) {
    Random random = new Random(7);
    for (int address : new int[] {0, 1, 6, 16, 247, 255}) {
      for (Request request : asked(decoder.dialogue(address), random)) {
        assertThat(ModbusWrites.isOne(request.bytes())).as("%s", request).isFalse();
      }
    }
  }

  @ParameterizedTest
  @ValueSource(strings = {"teasel-16", "sunspec"})
  void modbusIsAskedWithReadingFunctionsOnly(String id) {
    for (Request request : asked(Specs.find(id).orElseThrow().dialogue(1), new Random(11))) {
      assertThat(MODBUS_READS).contains((int) request.bytes()[1]);
      assertThat(request.bytes()).hasSize(8);
    }
  }

  /** Nothing that a board says, and no reading, can get into a request. */
  @Test
  void aDescribedRequestIsTheSameWhateverTheBoardAnswers() {
    for (Decoder decoder : Specs.shipped()) {
      Set<String> first = texts(asked(decoder.dialogue(1), new Random(1)));
      Set<String> second = texts(asked(decoder.dialogue(1), new Random(2)));

      assertThat(second).as(decoder.id()).isEqualTo(first);
    }
  }

  @ParameterizedTest
  @ValueSource(ints = {5, 6, 8, 15, 16, 21, 22, 23})
  void theLastStepBeforeTheLineStopsAModbusWrite(int function) throws Exception {
    byte[] data = {0, 1, 0, 1};
    byte[] shortest = {};
    List<byte[]> writes =
        List.of(
            ModbusFrames.rtu(false).build(1, function, data),
            ModbusFrames.ascii(false).build(1, function, data),
            ModbusFrames.rtu(false).build(1, function, shortest),
            ModbusFrames.ascii(false).build(1, function, shortest));
    for (byte[] write : writes) {
      TinyWire wire = new TinyWire(1);
      SimulatedTime time = new SimulatedTime(1_767_225_600_000L);
      LoopbackLink link = new LoopbackLink("line", wire, time);
      link.open(LineSettings.DEFAULT);
      HalfDuplexLine line = new HalfDuplexLine(link, LineClock.of(time), LineSettings.DEFAULT);

      assertThatThrownBy(() -> line.send(write, 1_000_000_000L))
          .isInstanceOf(LinkException.class)
          .hasMessageContaining("not sent");
      assertThat(wire.sent).isEmpty();
    }
  }

  @Test
  void aDescriptionThatStatesAModbusWriteIsRefused() {
    String spec =
        """
        spec = 1
        id = "sly"
        title = "An invented board"

        [frame]
        layout = ["address", "code", "data", "checksum"]
        [frame.checksum]
        kind = "crc-16/modbus"
        order = "little"
        covers = ["address", "code", "data"]

        [[message]]
        name = "all"
        code = 0x%s
        request = "00 01 00 01"
        bytes = 2
        field = [{ as = "cell", type = "u16", unit = "mV" }]
        """;
    Problems reading = new Problems();
    Problems writing = new Problems();

    Specs.read("sly.toml", spec.formatted("03"), reading);
    Specs.read("sly.toml", spec.formatted("06"), writing);

    assertThat(reading.toString()).isEmpty();
    assertThat(writing.toString()).contains("Modbus write", "reads only");
  }

  /** All requests of some cycles, in which a board answers noise. */
  private static List<Request> asked(Dialogue dialogue, Random random) {
    List<Request> requests = new ArrayList<>();
    for (int cycle = 0; cycle < 20; cycle++) {
      dialogue.begin();
      Optional<Request> next = dialogue.nextRequest();
      for (int i = 0; i < 50 && next.isPresent(); i++) {
        requests.add(next.get());
        dialogue.retry().ifPresent(requests::add);
        byte[] noise = new byte[random.nextInt(64)];
        random.nextBytes(noise);
        dialogue.feed(noise, 0, noise.length);
        dialogue.silence();
        next = dialogue.nextRequest();
      }
    }
    return requests;
  }

  private static Set<String> texts(List<Request> requests) {
    Set<String> texts = new HashSet<>();
    requests.forEach(r -> texts.add(HexFormat.of().formatHex(r.bytes())));
    return texts;
  }
}
