package org.cellherd.protocol;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import java.util.Optional;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Reading;
import org.cellherd.pack.Temperatures;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

class ShippedSpecsTest {

  static final Reading READING =
      Reading.at(1000)
          .cells(
              CellVoltages.ofMv(
                  3331, 3330, 3332, 3329, 3331, 3330, 3331, 3332, 3330, 3331, 3329, 3330, 3331,
                  3332, 3412, 3318))
          .currentMa(-12_500)
          .packMv(53_360)
          .temperatures(Temperatures.ofTenthC(214, 215, 216, -51))
          .socTenthPct(873)
          .bleedMask(1 << 14)
          .chargeSwitch(true)
          .dischargeSwitch(false)
          .boardMah(87_300)
          .boardAlarms(5)
          .build();

  static List<Decoder> shipped() {
    return Specs.shipped();
  }

  @ParameterizedTest
  @MethodSource("shipped")
  void aPolledBoardTellsTheReadingThatItsResponderWasGiven(Decoder decoder) {
    Dialogue dialogue = decoder.dialogue(1);
    if (dialogue.isListenOnly()) {
      return;
    }
    Responder responder = decoder.responder(1).orElseThrow();

    dialogue.begin();
    for (Optional<Request> r = dialogue.nextRequest(); r.isPresent(); r = dialogue.nextRequest()) {
      byte[] reply = responder.feed(r.get().bytes(), () -> READING);
      assertThat(dialogue.bytesWanted()).isBetween(1, reply.length);
      assertThat(dialogue.feed(reply, 0, reply.length))
          .as("%s %s", r.get(), dialogue.lastRefusal())
          .isEqualTo(Dialogue.Progress.ANSWERED);
    }

    assertThat(dialogue.reading(1000)).contains(READING);
  }
}
