package org.cellherd.pack;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.OptionalInt;
import org.junit.jupiter.api.Test;

class ReadingTest {

  private static Reading full(long timeMs) {
    return Reading.at(timeMs)
        .cells(CellVoltages.ofMv(3300, 3310))
        .temperatures(Temperatures.ofOptional(OptionalInt.of(215), OptionalInt.empty()))
        .currentMa(-1500)
        .packMv(6610)
        .socTenthPct(505)
        .bleedMask(2)
        .chargeSwitch(true)
        .dischargeSwitch(false)
        .boardMah(13_500)
        .boardAlarms(0xffff_ffffL)
        .build();
  }

  @Test
  void everyChannelGivesItsStoredInteger() {
    Reading reading = full(1000);

    assertThat(reading.value(Channel.of(Channel.Kind.CURRENT))).hasValue(-1500);
    assertThat(reading.value(Channel.of(Channel.Kind.PACK_VOLTAGE))).hasValue(6610);
    assertThat(reading.value(Channel.cell(2))).hasValue(33_100);
    assertThat(reading.value(Channel.cell(3))).isEmpty();
    assertThat(reading.value(Channel.temperature(1))).hasValue(215);
    assertThat(reading.value(Channel.temperature(2))).isEmpty();
    assertThat(reading.value(Channel.of(Channel.Kind.SOC))).hasValue(505);
    assertThat(reading.value(Channel.of(Channel.Kind.BLEED_MASK))).hasValue(2);
    assertThat(reading.value(Channel.of(Channel.Kind.CHARGE_SWITCH))).hasValue(1);
    assertThat(reading.value(Channel.of(Channel.Kind.DISCHARGE_SWITCH))).hasValue(0);
    assertThat(reading.value(Channel.of(Channel.Kind.BOARD_CHARGE))).hasValue(13_500);
    assertThat(reading.value(Channel.of(Channel.Kind.BOARD_ALARMS))).hasValue(0xffff_ffffL);
  }

  @Test
  void whatTheBoardDidNotTellIsMissing() {
    Reading empty = Reading.at(1).build();

    for (Channel.Kind kind : Channel.Kind.values()) {
      assertThat(empty.value(new Channel(kind, kind.isNumbered() ? 1 : 0))).isEmpty();
    }
  }

  @Test
  void otherTimeChangesNothingElse() {
    assertThat(full(1000).atTime(2000)).isEqualTo(full(2000)).hasSameHashCodeAs(full(2000));
    assertThat(full(1000)).isNotEqualTo(full(2000));
  }

  @Test
  void everyKindOfEntryIsToldApart() {
    LogEntry.Cases<String> kind =
        new LogEntry.Cases<>() {
          @Override
          public String reading(Reading reading) {
            return "reading";
          }

          @Override
          public String gap(Gap gap) {
            return "gap";
          }

          @Override
          public String sessionStart(SessionStart start) {
            return "start";
          }

          @Override
          public String clockStep(ClockStep step) {
            return "step";
          }
        };

    assertThat(full(1).fold(kind)).isEqualTo("reading");
    assertThat(new Gap(1, 2, Gap.Cause.NO_BYTES).fold(kind)).isEqualTo("gap");
    assertThat(new SessionStart(1, 1, true, true).fold(kind)).isEqualTo("start");
    assertThat(new ClockStep(1, 2).fold(kind)).isEqualTo("step");
    assertThat(new Gap(1, 2, Gap.Cause.NO_BYTES).timeMs()).isEqualTo(2);
    assertThat(Gap.Cause.NO_BYTES.word()).isEqualTo("no-bytes");
  }
}
