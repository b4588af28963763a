package org.cellherd.pack;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.util.List;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import java.util.OptionalLong;
import org.junit.jupiter.api.Test;

class FactsTest {

  @Test
  void factsKeepTheirOrderAndAreFoundByName() {
    Facts inner = Facts.of().put("cell", 3).build();
    Facts facts =
        Facts.of()
            .put("spread_mv", 12.345, 1)
            .put("state", "converging")
            .put("balanced", false)
            .putTime("since", 5)
            .put("lead", List.of(inner))
            .put("best", inner)
            .put("temp_c", OptionalDouble.of(21.26), 1)
            .put("cell", OptionalInt.of(3))
            .put("mask", OptionalLong.empty())
            .putAll(Facts.of().putUnknown("eta_h").build())
            .build();

    assertThat(facts.list().stream().map(Fact::name))
        .containsExactly(
            "spread_mv",
            "state",
            "balanced",
            "since",
            "lead",
            "best",
            "temp_c",
            "cell",
            "mask",
            "eta_h");
    assertThat(facts.number("spread_mv")).hasValue(12.3);
    assertThat(facts.text("state")).hasValue("converging");
    assertThat(facts.number("state")).isEmpty();
    assertThat(facts.get("eta_h")).isEmpty();
    assertThat(facts.number("temp_c")).hasValue(21.3);
  }

  @Test
  void whatIsNotANumberBecomesUnknown() {
    Facts facts = Facts.of().put("a", Double.NaN, 2).put("b", Double.POSITIVE_INFINITY, 2).build();

    assertThat(facts.list()).containsExactly(new Fact("a", null), new Fact("b", null));
    assertThatThrownBy(() -> new Fact("c", Double.NaN)).hasMessageContaining("c is NaN");
  }

  @Test
  void valueOfAnUnknownKindIsRefused() {
    assertThatThrownBy(() -> new Fact("x", new int[0])).hasMessageContaining("x");
    assertThatThrownBy(() -> new Fact("x", List.of('c'))).hasMessageContaining("x");
  }
}
