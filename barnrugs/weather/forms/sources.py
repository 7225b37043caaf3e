from django import forms
from django.core.files.uploadedfile import UploadedFile
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext

from barnrugs.barns.forms.once import OnceForm
from barnrugs.weather.hours import Fault, WeatherFileFault, WeatherYear
from barnrugs.weather.sources import read
from barnrugs.weather.text import MAX_BYTES


class WeatherFileForm(OnceForm):
    """Reads the file while it is validated: `year` then holds it, or `faults` what is wrong with it."""

    file = forms.FileField(
        label=gettext_lazy("Weather file"),
        help_text=gettext_lazy("A typical year of hours, TMY3 or EPW, up to 20 MB, of a place like yours."),
        widget=forms.ClearableFileInput(attrs={"accept": ".csv,.epw,.txt"}),
    )
    name = forms.CharField(
        label=gettext_lazy("What you call it"),
        max_length=120,
        required=False,
        help_text=gettext_lazy("Empty: the file's own name. A file of the same name is replaced."),
    )
    year: WeatherYear
    faults: tuple[Fault, ...] = ()

    def clean_file(self) -> UploadedFile:
        file: UploadedFile = self.cleaned_data["file"]
        if file.size and file.size > MAX_BYTES:
            raise forms.ValidationError(_("This file is larger than %(most)d MB.") % {"most": MAX_BYTES // 1_000_000})
        try:
            self.year = read(file)  # type: ignore[arg-type]
        except WeatherFileFault as fault:
            self.faults = fault.faults
            count = len(fault.faults)
            sentence = ngettext(
                "This file cannot be used: it has %(count)d fault, listed below.",
                "This file cannot be used: it has %(count)d faults or more, listed below.",
                count,
            )
            raise forms.ValidationError(sentence % {"count": count}) from fault
        return file

    @property
    def called(self) -> str:
        name: str = self.cleaned_data["name"] or self.cleaned_data["file"].name
        return name[:120]
