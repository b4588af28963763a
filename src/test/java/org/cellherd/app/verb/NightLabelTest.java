package org.cellherd.app.verb;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** The label of a pack after its first night says what {@code balance} says of it. */
class NightLabelTest {

  private static final Pattern LED =
      Pattern.compile(
          "Balanced since (\\d+ \\w+ \\d+) .* Cell (\\d+ was (?:at least )?[0-9.]+ Ah ahead)");

  @TempDir private Path folder;

  @ParameterizedTest
  @ValueSource(longs = {7, 9, 21})
  void whoLedByHowMuchAndWhenItWasBalancedStandOnTheLabel(long seed) {
    String log = folder.resolve("log.db").toString();
    Said.whenDone(List.of("simulate", "first-night", "--seed", "" + seed, "--log", log));
    List<String> ofLog = List.of("--db", log, "--plan", folder.resolve("log.toml").toString());

    Matcher led = LED.matcher(said("balance", ofLog));
    assertThat(led.find()).isTrue();
    assertThat(said("label", ofLog))
        .contains("\nBalanced: " + led.group(1) + "; cell " + led.group(2) + "\n");
  }

  private static String said(String verb, List<String> options) {
    List<String> words = new ArrayList<>(List.of(verb));
    words.addAll(options);
    return Said.whenDone(words);
  }
}
