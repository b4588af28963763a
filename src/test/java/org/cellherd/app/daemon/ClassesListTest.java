package org.cellherd.app.daemon;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import org.junit.jupiter.api.Test;

/** The classes that the package archives are those of today's program. */
class ClassesListTest {

  @Test
  void nineOfTenArchivedClassesExist() throws IOException {
    List<String> ours =
        Files.readAllLines(Path.of("src/deb/classes.list")).stream()
            .filter(line -> line.startsWith("org/cellherd/"))
            .toList();

    long found =
        ours.stream().filter(name -> getClass().getResource("/" + name + ".class") != null).count();

    assertThat(ours).hasSizeGreaterThan(500);
    // What is missing is only loaded more slowly; but no one sees it rot.
    assertThat(found)
        .as("run BudgetBenchmark#classes, which writes the list anew")
        .isGreaterThanOrEqualTo(ours.size() * 9L / 10);
  }
}
