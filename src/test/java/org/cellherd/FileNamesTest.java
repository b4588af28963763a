package org.cellherd;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.TreeMap;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;

/** One name is one thing: whoever searches for a type finds one file. */
class FileNamesTest {

  @Test
  void noFileNameOccursTwice() throws IOException {
    TreeMap<String, List<Path>> places = new TreeMap<>();
    for (String root : List.of("src/main/java", "src/test/java")) {
      try (Stream<Path> files = Files.walk(Path.of(root))) {
        files
            .filter(file -> file.toString().endsWith(".java"))
            .forEach(
                file ->
                    places
                        .computeIfAbsent(
                            file.getFileName().toString().replace(".java", ""),
                            name -> new ArrayList<>())
                        .add(file));
      }
    }
    places.remove("package-info");
    places.values().removeIf(files -> files.size() < 2);

    assertThat(places).isEmpty();
  }
}
