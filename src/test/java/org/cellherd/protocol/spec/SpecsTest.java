package org.cellherd.protocol.spec;

import static org.assertj.core.api.Assertions.assertThat;

import org.cellherd.protocol.Dialogue;
import org.junit.jupiter.api.Test;

class SpecsTest {

  @Test
  void aDecoderWrittenAsCodeIsFoundByItsId() {
    Dialogue dialogue = Specs.find("clockwork").orElseThrow().dialogue(0);
    dialogue.begin();
    dialogue.nextRequest();

    dialogue.feed(new byte[] {100, 1, -2, 3, 102}, 0, 5);

    assertThat(dialogue.reading(7).orElseThrow().cells().tenthMv(4)).isEqualTo(31_020);
  }

  @Test
  void idsOfDescriptionsAndOfCodeAreListed() {
    assertThat(Specs.ids()).contains("sorrel-16", "teasel-16", "sunspec", "clockwork");
  }

  @Test
  void anUnknownIdIsNotFoundAndTheNearestIsSuggested() {
    assertThat(Specs.find("sorrel-61")).isEmpty();
    assertThat(Specs.suggestion("sorel-16")).isEqualTo(", did you mean sorrel-16?");
  }

  @Test
  void shippedTextsAreOnlyThoseOfTheFolder() {
    assertThat(Specs.shippedText("sorrel-16.toml")).isPresent();
    assertThat(Specs.shippedText("../org/cellherd/protocol/catalog/Specs.class")).isEmpty();
    assertThat(Specs.shippedText("none.toml")).isEmpty();
  }

  @Test
  void aDescriptionsIdIsTheNameOfItsFile() {
    for (String name : Specs.shippedNames()) {
      assertThat(Specs.find(name).orElseThrow().id()).isEqualTo(name);
    }
  }
}
