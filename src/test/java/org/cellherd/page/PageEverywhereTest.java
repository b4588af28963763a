package org.cellherd.page;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.stream.Stream;
import org.cellherd.json.JsonText;
import org.cellherd.mqtt.ReadingFacts;
import org.junit.jupiter.api.Test;

/**
 * The page, the figures for collectors and what a broker is told are the same wherever the computer
 * stands: a decimal comma, digits of another script, an i without its dot.
 */
class PageEverywhereTest {

  private static final List<String> PLACES =
      List.of("de-DE", "fr-FR", "ar-EG", "hi-IN-u-nu-deva", "tr-TR", "th-TH-u-ca-buddhist");

  private static final List<String> SCENARIOS =
      List.of("first-night", "runaway", "cold-charge", "offgrid-season");

  @Test
  void whatIsShownAndPublishedIsTheSameEverywhere() {
    for (String scenario : SCENARIOS) {
      List<String> usual = said(Locale.ROOT, scenario);
      assertThat(usual).as(scenario).noneMatch(String::isBlank);

      for (String place : PLACES) {
        assertThat(said(Locale.forLanguageTag(place), scenario))
            .as("%s in %s", scenario, place)
            .isEqualTo(usual);
      }
    }
  }

  private static List<String> said(Locale place, String scenario) {
    Locale before = Locale.getDefault();
    Locale.setDefault(place);
    try {
      PlayedPack pack = new PlayedPack(scenario).play(900, true).play(3, false);
      PagePack shown = PagePack.polledEvery(pack.plan(), pack.scenario().pollMs());
      StandingWall then = new StandingWall(pack.nowMs());
      List<String> said = new ArrayList<>();
      try (TestPage page =
          TestPage.of(
              TestPage.open(), List.of(shown), (id, from, to) -> pack.read(from, to), then)) {
        pack.tell(page.page());
        String span = "?span=" + Instant.ofEpochMilli(pack.nowMs()).toString().substring(0, 10);
        String of = "/pack/" + pack.plan().id() + "/past" + span;
        Stream.of("/", "/metrics", of, "/api/past" + span + "&pack=" + pack.plan().id())
            .map(path -> page.get(path).body().replaceAll("(_age_seconds.*) [0-9.]+", "$1 "))
            .forEach(said::add);
      }
      said.add(JsonText.of(pack.summary().facts()));
      said.add(JsonText.of(ReadingFacts.of(pack.reading(), 1)));
      pack.events()
          .forEach(event -> said.add(event.alert().text() + JsonText.of(event.alert().evidence())));
      return said;
    } finally {
      Locale.setDefault(before);
    }
  }
}
