package org.cellherd.app.campaign.stage;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** What the desk accepts of a verb that ends with exit code 4: here, since there is no log. */
class VerbDeskTest {
  @TempDir Path folder;

  private final List<String> complaints = new ArrayList<>();

  private void ask(String codes, boolean isHarmed) throws Exception {
    new VerbDesk(folder, complaints::add, () -> isHarmed)
        .ask(codes, "alerts", "--db", folder.resolve("none.db").toString());
  }

  @ParameterizedTest
  @ValueSource(strings = {"0 4", "0 1 4"})
  void aWrongFourOfALogThatNothingHarmedIsComplainedOf(String codes) throws Exception {
    ask(codes, false);

    assertThat(complaints).singleElement().asString().contains("exit code 4", "none.db");
  }

  @Test
  void aFourOfAHarmedLogIsRight() throws Exception {
    ask("0 4", true);

    assertThat(complaints).isEmpty();
  }

  @Test
  void aFourThatIsAskedForIsRight() throws Exception {
    ask("4", false);

    assertThat(complaints).isEmpty();
  }
}
