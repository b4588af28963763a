package org.cellherd.json;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import org.cellherd.pack.Facts;
import org.junit.jupiter.api.Test;

class JsonTextTest {

  @Test
  void namesKeepTheirOrderAndUnknownIsNull() {
    Facts facts =
        Facts.of()
            .put("spread_mv", 12.5, 1)
            .putUnknown("eta_h")
            .put("ok", true)
            .put("cells", List.of(1, 2))
            .put("lead", Facts.of().put("cell", 5).build())
            .build();

    assertThat(JsonText.of(facts))
        .isEqualTo(
            "{\"spread_mv\":12.5,\"eta_h\":null,\"ok\":true,\"cells\":[1,2],"
                + "\"lead\":{\"cell\":5}}");
  }

  @Test
  void prettyTextIsIndentedAndEmptyBracketsStayTogether() {
    Facts facts = Facts.of().put("a", List.of("x")).put("b", List.of()).build();

    assertThat(JsonText.pretty(facts)).isEqualTo("{\n  \"a\": [\n    \"x\"\n  ],\n  \"b\": []\n}");
  }

  @Test
  void timesAreUtcWithMillisecondsOnlyWhenTheyAreNotZero() {
    assertThat(IsoTime.of(1_767_225_600_000L)).isEqualTo("2026-01-01T00:00:00Z");
    assertThat(IsoTime.of(1_767_225_600_050L)).isEqualTo("2026-01-01T00:00:00.050Z");
    assertThat(IsoTime.of(-1)).isEqualTo("1969-12-31T23:59:59.999Z");
    assertThat(JsonText.of(Facts.of().putTime("time", 0).build()))
        .isEqualTo("{\"time\":\"1970-01-01T00:00:00Z\"}");
  }

  @Test
  void timesWithAnyOffsetAreRead() {
    assertThat(IsoTime.ms("2026-01-01T01:00:00+01:00")).hasValue(1_767_225_600_000L);
    assertThat(IsoTime.ms("2026-01-01")).isEmpty();
  }

  @Test
  void numbersArePlainDigits() {
    assertThat(JsonText.ofValue(3.0)).isEqualTo("3");
    assertThat(JsonText.ofValue(-0.0)).isEqualTo("0");
    assertThat(JsonText.ofValue(12345678.5)).isEqualTo("12345678.5");
    assertThat(JsonText.ofValue(0.0001)).isEqualTo("0.0001");
    assertThat(JsonText.ofValue(100.0)).isEqualTo("100");
    assertThat(JsonText.ofValue(1e300)).isEqualTo("1E+300");
    assertThat(JsonText.ofValue(Long.MIN_VALUE)).isEqualTo("-9223372036854775808");
  }

  @Test
  void stringsAreEscapedAndHalfPairsReplaced() {
    assertThat(JsonText.quoted("a\"\\\n\u0001\u2028")).isEqualTo("\"a\\\"\\\\\\n\\u0001\\u2028\"");
    assertThat(JsonText.quoted("x\uD800y")).isEqualTo("\"x\uFFFDy\"");
    assertThat(JsonText.escaped("mΩ\uD83D\uDD0B")).isEqualTo("mΩ\uD83D\uDD0B");
  }
}
