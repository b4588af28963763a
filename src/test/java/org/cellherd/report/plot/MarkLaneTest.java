package org.cellherd.report.plot;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import java.util.stream.IntStream;
import org.cellherd.report.scene.Shape;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** Marks at drawn times, many and few, on a desk and on a phone. */
class MarkLaneTest {

  private static final long DAY_MS = 86_400_000;

  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12})
  void noMarkCoversAnotherOrTheUnit(long seed) {
    Random random = new Random(seed);
    Plots.Size size = seed % 2 == 0 ? Plots.Size.narrow(300) : Plots.Size.wide(300);
    Tracks tracks = new Tracks(0, DAY_MS);
    TimeAxis time = new TimeAxis(tracks, ZoneOffset.UTC, size.left(), size.plotWidth());
    List<PlotInput.Mark> marks =
        IntStream.rangeClosed(1, 1 + random.nextInt(140))
            .mapToObj(n -> mark(n == 1 ? 0 : (long) (random.nextDouble() * DAY_MS), n, random))
            .toList();
    List<Shape> shapes = new ArrayList<>();

    new MarkLane(size, time, shapes).draw(marks);

    List<Shape.Box> boxes =
        shapes.stream()
            .flatMap(shape -> ((Shape.Link) shape).shapes().stream())
            .filter(Shape.Box.class::isInstance)
            .map(Shape.Box.class::cast)
            .sorted((one, other) -> Double.compare(one.x(), other.x()))
            .toList();
    assertThat(boxes.get(0).x()).isGreaterThan(size.left() - 6);
    for (int i = 1; i < boxes.size(); i++) {
      Shape.Box before = boxes.get(i - 1);
      assertThat(boxes.get(i).x()).as("seed %d", seed).isGreaterThan(before.x() + before.width());
    }
  }

  private static PlotInput.Mark mark(long atMs, int number, Random random) {
    List<PlotInput.Mark.Kind> alerts =
        List.of(
            PlotInput.Mark.Kind.CRITICAL, PlotInput.Mark.Kind.WARNING, PlotInput.Mark.Kind.NOTE);
    PlotInput.Mark.Kind kind = alerts.get(random.nextInt(3));
    return new PlotInput.Mark(atMs, String.valueOf(number), kind, "#", "alert");
  }
}
