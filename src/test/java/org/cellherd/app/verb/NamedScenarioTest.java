package org.cellherd.app.verb;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.nio.file.Files;
import java.nio.file.Path;
import org.cellherd.app.Stop;
import org.cellherd.sim.Scenario;
import org.cellherd.sim.Scenarios;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class NamedScenarioTest {
  @TempDir private Path folder;

  @Test
  void onesOwnFileIsReadAndItsSeedCanBeChanged() throws Exception {
    Path own = folder.resolve("own.toml");
    Files.writeString(
        own, Scenarios.text("first-night").orElseThrow().replace("hours = 12", "hours = 3"));

    assertThat(NamedScenario.open(own.toString(), null).seed()).isEqualTo(7);
    assertThat(NamedScenario.open(own.toString(), 99L).seed()).isEqualTo(99);
    Scenario three = NamedScenario.open(own.toString(), null);
    assertThat(three.endMs() - three.startMs()).isEqualTo(3 * 3_600_000L);
  }

  @Test
  void whatIsWrongIsSaidWithWhatWouldBeRight() throws Exception {
    Path own = folder.resolve("own.toml");
    Files.writeString(own, "hours = \"many\"\n");

    assertThatThrownBy(() -> NamedScenario.open("no-such", null))
        .isInstanceOf(Stop.class)
        .hasMessageContaining("first-night")
        .hasMessageContaining("your own file.toml");
    assertThatThrownBy(() -> NamedScenario.open(own.toString(), null))
        .isInstanceOf(Stop.class)
        .hasMessageContaining("own.toml:1 hours");
  }
}
