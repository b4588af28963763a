package org.cellherd.protocol;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.List;
import java.util.Objects;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.cellherd.protocol.checksum.Checksum;
import org.cellherd.protocol.checksum.Checksums;
import org.cellherd.protocol.spec.SpecDecoder;
import org.cellherd.protocol.spec.Specs;
import org.cellherd.protocol.spec.VectorRun;
import org.cellherd.toml.Problems;
import org.junit.jupiter.api.Test;

/** The guide to descriptions does what it says. */
class ReadmeTest {

  private static String readme() throws IOException {
    try (InputStream in =
        Objects.requireNonNull(Specs.class.getResourceAsStream("/protocol-specs/README.md"))) {
      return new String(in.readAllBytes(), StandardCharsets.UTF_8);
    }
  }

  private static List<String> examples() throws IOException {
    List<String> blocks = new ArrayList<>();
    Matcher matcher = Pattern.compile("```toml\\n(.*?)```", Pattern.DOTALL).matcher(readme());
    while (matcher.find()) {
      blocks.add(matcher.group(1));
    }
    return blocks;
  }

  @Test
  void theWorkedExampleIsADescriptionWhoseVectorsPass() throws IOException {
    List<String> blocks = examples();
    Problems problems = new Problems();
    String spec = blocks.get(0) + blocks.get(1);
    SpecDecoder decoder = (SpecDecoder) Specs.read("nettle.toml", spec, problems).orElseThrow();

    List<VectorRun.Outcome> outcomes =
        VectorRun.run(decoder, "nettle.vectors.toml", blocks.get(2), problems);

    assertThat(problems.toString()).isEmpty();
    assertThat(outcomes).hasSize(2).allMatch(VectorRun.Outcome::passed);
    assertThat(VectorRun.gaps(decoder, "nettle.vectors.toml", blocks.get(2))).isEmpty();
  }

  @Test
  void theExampleThatIsListenedToIsADescriptionWhoseVectorsPass() throws IOException {
    List<String> blocks = examples();
    Problems problems = new Problems();
    SpecDecoder decoder =
        (SpecDecoder) Specs.read("woad.toml", blocks.get(3), problems).orElseThrow();

    List<VectorRun.Outcome> outcomes =
        VectorRun.run(decoder, "woad.vectors.toml", blocks.get(4), problems);

    assertThat(problems.toString()).isEmpty();
    assertThat(outcomes).hasSize(2).allMatch(VectorRun.Outcome::passed, "passes");
    assertThat(VectorRun.gaps(decoder, "woad.vectors.toml", blocks.get(4))).isEmpty();
  }

  @Test
  void theThermistorExampleIsRead() throws IOException {
    Problems problems = new Problems();
    String spec = examples().get(0) + examples().get(1) + examples().get(5);

    assertThat(Specs.read("nettle.toml", spec, problems)).isPresent();
  }

  @Test
  void everyShippedDescriptionAndEveryChecksumIsListed() throws IOException {
    String readme = readme();

    assertThat(Specs.ids()).isNotEmpty();
    for (String name : Specs.shippedNames()) {
      assertThat(readme).contains("| `" + name + "` |");
    }
    for (Checksum checksum : Checksums.all()) {
      assertThat(readme).contains("`" + checksum.word() + "`");
    }
  }
}
