package org.cellherd.report.label;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.concurrent.TimeUnit;
import javax.imageio.ImageIO;
import org.cellherd.Tools;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;

/** The label as another program prints it, read by another program's reader of QR codes. */
class PrintedLabelTest {

  @TempDir private Path folder;

  @ParameterizedTest
  @EnumSource(PackLabel.Size.class)
  void printedAt300DpiItsCodeSaysWhatTheLabelSays(PackLabel.Size size) throws Exception {
    Path poppler = Tools.require("pdftoppm");
    LabelFacts facts = PackLabelTest.wordy();
    Path pdf = Files.write(folder.resolve("label.pdf"), PackLabel.pdf(facts, size));
    Path picture = folder.resolve("label.png");

    Process process =
        new ProcessBuilder(
                poppler.toString(),
                "-r",
                "300",
                "-singlefile",
                "-png",
                pdf.toString(),
                folder.resolve("label").toString())
            .redirectErrorStream(true)
            .redirectOutput(folder.resolve("output").toFile())
            .start();

    assertThat(process.waitFor(20, TimeUnit.SECONDS)).isTrue();
    assertThat(PackLabelTest.decode(ImageIO.read(picture.toFile()))).isEqualTo(facts.plainText());
  }
}
