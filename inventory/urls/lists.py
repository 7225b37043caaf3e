from django.urls import path

from inventory.views import lists

LIST = "barns/<slug:slug>/lists/<str:day>/<str:session>"
LINE = "barns/<slug:slug>/lines/<int:pk>"

urlpatterns = [
    path(f"{LIST}/", lists.change_list, name="change_list"),
    path(f"{LIST}/paper/", lists.list_paper, name="list_paper"),
    path(f"{LIST}/again/", lists.list_anew, name="list_anew"),
    path(f"{LIST}/note/", lists.list_note, name="list_note"),
    path(f"{LIST}/here/<str:place>/", lists.list_here, name="list_here"),
    path(f"{LINE}/", lists.line, name="line"),
    path(f"{LINE}/done/", lists.line_done, name="line_done"),
    path(f"{LINE}/other/", lists.line_other, name="line_other"),
    path(f"{LINE}/not-done/", lists.line_not_done, name="line_not_done"),
    path(f"{LINE}/take-back/", lists.line_take_back, name="line_take_back"),
]
