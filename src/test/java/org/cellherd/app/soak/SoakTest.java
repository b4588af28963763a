package org.cellherd.app.soak;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Path;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A few days of the campaign; {@link Soak} runs a season of it. */
class SoakTest {

  @TempDir private Path folder;

  @Test
  void daysOfMishapsLoseNoAlertAndNoReadingWithoutAReason() throws Exception {
    Balance balance = new Soak(folder, "offgrid-season", 3).run(1.5);

    balance.print(System.out);
    assertThat(balance.isBalanced()).as(balance.toString()).isTrue();
    assertThat(balance.stored()).isGreaterThan(8_000);
  }
}
