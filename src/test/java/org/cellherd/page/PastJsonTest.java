package org.cellherd.page;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.time.ZoneOffset;
import java.util.Arrays;
import java.util.List;
import java.util.OptionalLong;
import java.util.Random;
import org.cellherd.json.JsonReader;
import org.cellherd.json.JsonValue;
import org.cellherd.pack.Channel;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.PackPlan;
import org.cellherd.report.plot.Tracks;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** An extreme is an extreme at every zoom: of drawn statistics over days, months and years. */
class PastJsonTest {

  private static final long FROM = 1_767_225_600_000L;
  private static final long HOUR = 3_600_000L;

  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3, 4, 5, 6, 7, 8})
  void highestAndLowestAreSingleReadingsAndNotMeans(long seed) throws JsonReader.Problem {
    Random random = new Random(seed);
    int hours = 24 * (4 + random.nextInt(360));
    int cells = 1 + random.nextInt(16);
    Tracks tracks = new Tracks(FROM, FROM + hours * HOUR);
    double[] lowest = new double[cells];
    double[] highest = new double[cells];
    Arrays.fill(lowest, 1e9);
    for (int hour = 0; hour < hours; hour++) {
      Tracks.Span span = new Tracks.Span(FROM + hour * HOUR, FROM + (hour + 1) * HOUR);
      for (int cell = 0; cell < cells; cell++) {
        double mean = 33_000 + random.nextInt(200);
        double low = mean - random.nextInt(3_000);
        double high = mean + random.nextInt(3_000);
        lowest[cell] = Math.min(lowest[cell], low);
        highest[cell] = Math.max(highest[cell], high);
        tracks.add(Channel.cell(cell + 1), span, low, mean, high, 3_600);
      }
      double warm = 150 + random.nextInt(100);
      tracks.add(Channel.temperature(1), span, warm - 50, warm, warm + 50, 3_600);
    }
    PackPlan plan = PackPlan.builder("p", Chemistry.LFP, cells, 1, 10_000).build();
    PackHistory.Stretch stretch =
        new PackHistory.Stretch(tracks, List.of(), List.of(), List.of(), OptionalLong.empty(), "");

    JsonValue json =
        new JsonReader(new JsonReader.Limits(1 << 22, 20, 4_000, 100_000))
            .read(PastJson.of(PagePack.polledEvery(plan, 1_000), stretch, ZoneOffset.UTC));

    for (int cell = 0; cell < cells; cell++) {
      assertThat(number(json, "cell_low_tenth_mv", cell))
          .as("seed %d", seed)
          .isCloseTo(lowest[cell], within(0.6));
      assertThat(number(json, "cell_high_tenth_mv", cell)).isCloseTo(highest[cell], within(0.6));
    }
    assertThat(number(json, "temp_high_tenth_c", 0) - number(json, "temp_low_tenth_c", 0))
        .isGreaterThan(100);
    List<JsonValue> band = json.items("cell_band_tenth_mv");
    double top =
        ((JsonValue.JsonArray) band.get(1))
            .items().stream().mapToDouble(v -> v.number("").orElse(0)).max().orElseThrow();
    assertThat(top).isCloseTo(Arrays.stream(highest).max().orElse(0), within(0.6));
  }

  private static double number(JsonValue json, String name, int index) {
    return json.items(name).get(index).number("").orElseThrow();
  }
}
