package org.cellherd.app.verb;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class WholeJobTest {

  @TempDir private Path folder;

  @Test
  void fromAPileOfCellsToALabelInOneCommand() {
    String said = Said.whenDone(List.of("demo", "--from-pile", "--folder", folder.toString()));

    assertThat(said)
        .contains("Everything here is invented", "k07: It is marked as swollen")
        .contains("The weakest group holds", "OK    The fuse is", "Balanced since ")
        .containsPattern("21\\.\\d Ah .* at 5\\.4 A")
        .containsPattern("Capacity: 21\\.\\d Ah")
        .doesNotContain("FAIL", "safe");
    assertThat(List.of("pile.csv", "arrangement.svg", "crate.toml", "lid.pdf", "label.pdf"))
        .allMatch(name -> Files.exists(folder.resolve(name)));
  }
}
