package org.cellherd.alert;

import java.io.IOException;
import java.net.URISyntaxException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Objects;
import java.util.stream.Stream;
import org.junit.jupiter.api.DynamicTest;
import org.junit.jupiter.api.TestFactory;

/** Every scenario file: what is fed for how long, and what holds at which minute. */
class AlertScenarioTest {

  @TestFactory
  Stream<DynamicTest> everyScenarioGoesAsItSays() throws IOException, URISyntaxException {
    Path folder =
        Path.of(Objects.requireNonNull(AlertScenarioTest.class.getResource("scenario")).toURI());
    try (Stream<Path> files = Files.list(folder)) {
      List<Path> scenarios =
          files.filter(f -> f.toString().endsWith(".scenario")).sorted().toList();
      return scenarios.stream()
          .map(
              f ->
                  DynamicTest.dynamicTest(
                      f.getFileName().toString(),
                      () -> new AlertScenario().run(Files.readAllLines(f))));
    }
  }
}
